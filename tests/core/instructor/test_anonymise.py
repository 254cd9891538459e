"""Exports hold no planted name or remark, and count the same as before."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import UTC, datetime
from typing import get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.conversation.events import AdapterFailed, AdapterRecovered, Interrupted
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.facts import ReplyFact
from callout.core.debrief.gather import session_rows
from callout.core.drill.history import drill_reviews
from callout.core.drill.records import DrillBegan
from callout.core.instructor.anonymise import (
    TEXTS,
    Treat,
    anonymise_records,
    field_treatment,
    names_in,
)
from callout.core.instructor.free_text import NAME, TEXT, WORD, Mask, pseudonym, words_in
from callout.core.keeping.record_codec import _record_types, to_plain
from callout.core.model.utterance import Utterance, typed_utterance
from tests.core.drill.drill_kit import Drill, exercises
from tests.core.keeping.test_record_codec import ALL, FLIGHT, PLAN

SALT = b"kept at home"
NOON = datetime(2031, 5, 4, 12, tzinfo=UTC)
PLANTED = ("Marla Quint", "Otto Brandvold", "Zuzanna")
MASK = Mask(SALT, PLANTED, frozenset({"on", "off"}), frozenset({"inoperative"}))


def _text_fields() -> Iterator[tuple[type[JournalRecord], str]]:
    for kind in _record_types().values():
        hints = get_type_hints(kind)
        for field in fields(kind):
            if hints[field.name] in (str, str | None, tuple[str, ...]):
                yield kind, field.name


@pytest.mark.parametrize(("kind", "name"), list(_text_fields()), ids=lambda x: str(x))
def test_somebody_thought_of_every_text(kind: type[JournalRecord], name: str) -> None:
    """A new text field must be given a treatment; until then it is dropped."""
    named = any((base, name) in TEXTS for base in kind.__mro__)
    assert named or field_treatment(kind, name) is Treat.ID


def _planted(value: object) -> object:
    """Return a record's value with a name in every text that a person could have written."""
    words = "Marla Quint on, says zuzanna, lobotomise the wombat"
    if isinstance(value, Utterance):
        return replace(value, text=words, transcript=words, alternatives=((words, 0.5),))
    return f"{value} {words}" if isinstance(value, str) else value


def _drilled() -> list[JournalRecord]:
    """Return one record of each kind that a drill writes."""
    drill = Drill(exercises(None)).say("a b c d e", sure=False).say("not known").press("f5")
    drill.feed(AdapterFailed(drill.stamp(), "hearing", "gone", "plug it in"))
    drill.feed(AdapterRecovered(drill.stamp(), "hearing")).say("on")
    drill.feed(Interrupted(drill.stamp(), "keyboard"))
    return list({type(record): record for record in drill.records}.values())


CODES = {"early", "code", "part", "mark"}
"""What the program itself writes, and never a person."""


def _named_ids(record: JournalRecord, name: str) -> object:
    value = getattr(record, name)
    if field_treatment(type(record), name) is not Treat.ID:
        return _planted(value)
    if isinstance(value, tuple):
        return ("marla-doors", *value)
    return f"{value}-Zuzanna_marlaquint"


@pytest.mark.parametrize("record", [*ALL, *FLIGHT, *_drilled()], ids=lambda x: type(x).__name__)
def test_no_planted_name_or_remark_is_left(record: JournalRecord) -> None:
    changes = {f.name: _named_ids(record, f.name) for f in fields(record) if f.name not in CODES}
    planted = replace(record, **changes)
    if isinstance(planted, r.Began | DrillBegan):
        files = {"file": "/home/zuzanna/x.yaml", "crew": "Otto Brandvold", "operator": "Zuzanna"}
        planted = replace(planted, about={"aircraft": "Quint Special", "new": "Quint", **files})
    (clean,) = anonymise_records([planted], MASK)
    text = json.dumps(to_plain(clean), ensure_ascii=False).casefold()
    for gone in ("marla", "quint", "otto", "brandvold", "zuzanna", "wombat"):
        assert gone not in text or (gone == "wombat" and _is_list_text(clean)), text


def _is_list_text(record: JournalRecord) -> bool:
    """Words that are nobody's name may stay where a list, not a person, speaks."""
    kinds = {k for (k, _), t in TEXTS.items() if t in (Treat.LISTED, Treat.TITLED)}
    return type(record) in kinds


def test_counts_are_the_same_before_and_after() -> None:
    story = _story()
    session, items = session_rows(story)
    mask = Mask(SALT, (*PLANTED, *names_in(story)), frozenset({"on", "off", "set"}))
    clean_session, clean_items = session_rows(anonymise_records(story, mask))
    assert clean_session == replace(session, person=pseudonym("trainee", "Marla Quint", SALT))
    for before, after in zip(items, clean_items, strict=True):
        free = {"person": after.person, "skip_reason": after.skip_reason, "heard": after.heard}
        assert after == replace(before, **free)
        counted = [(h.verdict, h.code, h.seconds, h.at, h.sure, h.seat) for h in before.heard]
        assert counted == [
            (h.verdict, h.code, h.seconds, h.at, h.sure, h.seat) for h in after.heard
        ]
    assert "bring the dog" not in str(clean_items)


def test_a_drill_grades_the_same_before_and_after() -> None:
    drill = Drill(exercises(None)).say("on").say("not known").say("on").say("stop")
    clean = anonymise_records(drill.records, MASK)
    assert list(drill_reviews(clean)) == list(drill_reviews(drill.records))


def _counted(said: ReplyFact) -> ReplyFact:
    return replace(said, text="", transcript="", reason="")


def _story() -> list[JournalRecord]:
    about = {"crew": "Marla Quint", "aircraft": "Sandling Two", "file": "/home/marla/x.yaml"}
    remark = r.Remarked(
        "altimeter", typed_utterance("bring the dog over, Otto Brandvold"), seq=4, utc=NOON, at=2.0
    )
    replied = next(one for one in ALL if isinstance(one, r.Replied))
    asked = next(one for one in ALL if isinstance(one, r.Challenged))
    return [
        r.Began("s", PLAN, about, seq=1, utc=NOON, at=0.0),
        replace(asked, seq=2),
        replace(replied, seq=3, utterance=typed_utterance("on, Marla")),
        remark,
        r.Skipped("altimeter", "Zuzanna took it", seq=5, utc=NOON, at=3.0),
    ]


def test_a_reply_keeps_the_words_of_the_trade() -> None:
    (clean,) = anonymise_records([_story()[2]], MASK)
    assert isinstance(clean, r.Replied)
    assert clean.utterance.text == f"on, {WORD}"


def test_usual_reasons_stay_and_others_go() -> None:
    assert MASK.reason("Inoperative.") == "Inoperative."
    assert MASK.reason("the dog sat on it") == TEXT
    assert MASK.reason("") == ""


def test_an_id_stays_the_same_id_without_the_name() -> None:
    coded = MASK.coded("20310504T060000Z-marla-before-start-a1b2c3")
    assert coded.startswith("20310504T060000Z-x")
    assert coded.endswith("-before-start-a1b2c3")
    assert MASK.coded("Marla/before-start") == f"{coded.split('-')[1]}/before-start"
    assert MASK.coded("marlaquint") != MASK.coded("marla")
    assert MASK.coded("marlatan") == "marlatan"
    records = [replace(_story()[1], item_id="zuzanna"), replace(_story()[2], item_id="zuzanna")]
    first, second = (vars_of(one) for one in anonymise_records(records, MASK))
    assert first == second != "zuzanna"


def vars_of(record: JournalRecord) -> str:
    return str(getattr(record, "item_id"))  # noqa: B009  not every record has one


def test_a_first_name_goes_from_a_reply_though_the_list_names_the_person() -> None:
    story = _story()
    began = story[0]
    assert isinstance(began, r.Began)
    first = replace(began.plan.items[0], challenge="Doors, Marla Quint on")
    named = replace(began, plan=replace(began.plan, items=(first, *began.plan.items[1:])))
    clean = anonymise_records([named, story[2]], MASK)[1]
    assert isinstance(clean, r.Replied)
    assert clean.utterance.text == f"on, {WORD}"


def test_a_whole_name_goes_wherever_it_stands_and_a_part_of_it_from_titles() -> None:
    assert MASK.listed("call MARLA  quint first") == f"call {NAME} first"
    assert MASK.listed("Quintet") == "Quintet"
    assert MASK.titled("Quint's first solo") == f"{NAME} first solo"
    assert MASK.titled("Flight of Marla") == f"Flight of {NAME}"


@settings(deadline=None)
@given(st.text(min_size=1, max_size=20), st.text(min_size=1, max_size=20))
def test_pseudonyms_are_stable_and_tell_people_apart(one: str, other: str) -> None:
    same = " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
    found = pseudonym("trainee", one, SALT), pseudonym("trainee", other, SALT)
    assert (found[0] == found[1]) is same
    assert pseudonym("trainee", f"  {one.upper().lower()} ", SALT) == pseudonym(
        "trainee", one.upper().lower(), SALT
    )


def test_another_salt_gives_another_pseudonym() -> None:
    assert pseudonym("trainee", "x", b"1") != pseudonym("trainee", "x", b"2")


def test_words_are_found_without_regard_to_case() -> None:
    assert words_in(["Full FORWARD, 18"]) == {"full", "forward", "18"}
