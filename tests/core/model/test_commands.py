"""Spoken control: what is understood, and what never is."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.records import Commanded, Replied
from callout.core.judging.judge import judge_reply
from callout.core.model.commands import (
    Command,
    Found,
    find_answer,
    find_command,
    match_command,
    plain_words,
)
from callout.core.model.expectation import Expectation, phrase
from callout.core.model.verdict import Verdict
from callout.core.planning.resolve import expectation_for
from callout.core.understanding.candidate_sets import candidates_for
from tests.core.session_kit import Desk, item, plan

TABLE = default_commands()
LISTS = Path(__file__).parents[3] / "checklists"


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("say again", Found(Command.SAY_AGAIN)),
        ("Say again, please.", Found(Command.SAY_AGAIN)),
        ("er, hold", Found(Command.HOLD)),
        ("What's left?", Found(Command.WHAT_IS_LEFT)),
        ("what\N{RIGHT SINGLE QUOTATION MARK}s left", Found(Command.WHAT_IS_LEFT)),
        ("skip", Found(Command.SKIP)),
        ("skip, inoperative", Found(Command.SKIP, "inoperative")),
        ("skip this item because the lamp is broken", Found(Command.SKIP, "the lamp is broken")),
        ("come back to that", Found(Command.DEFER)),
        ("defer until fuelling is complete", Found(Command.DEFER, "until fuelling is complete")),
        ("stop talking", Found(Command.QUIET)),
        ("stop", Found(Command.STOP)),
        ("stand by", Found(Command.HOLD)),
        ("standby", Found(Command.HOLD)),
        ("wait", Found(Command.HOLD)),
        ("repeat, please", Found(Command.SAY_AGAIN)),
        ("disregard", Found(Command.DISREGARD)),
        ("unable", Found(Command.SKIP)),
        ("unable because the lamp is broken", Found(Command.SKIP, "the lamp is broken")),
        ("not applicable", Found(Command.SKIP, "not applicable")),
        ("later", Found(Command.DEFER)),
        ("where are we?", Found(Command.WHAT_IS_LEFT)),
        ("quit", Found(Command.STOP)),
        ("back", Found(Command.GO_BACK)),
    ],
)
def test_commands_are_understood(words: str, found: Found) -> None:
    assert match_command(words, TABLE) == found


@pytest.mark.parametrize(
    "words",
    ["", "please", "on", "off", "holding", "do not skip", "no hold", "hold on", "say", "stopped",
     "the flaps stop at five", "continuous", "left", "not stop", "standby power", "later on",
     "full back", "wait for it on", "not applicable on"],
)  # fmt: skip
def test_near_words_are_no_commands(words: str) -> None:
    assert find_command(words, TABLE) is None


def test_every_command_has_several_ways_to_say_it_and_a_key() -> None:
    assert [entry.command for entry in TABLE.entries] == list(Command)
    for entry in TABLE.entries:
        assert len(entry.phrases) >= 3
        assert entry.keys
        for words in entry.phrases:
            assert find_command(words, TABLE) is entry.command


def test_no_key_means_two_things_but_the_toggles() -> None:
    keys = [key for entry in TABLE.entries for key in entry.keys]
    shared = {key for key in keys if keys.count(key) > 1}
    assert shared == {"space", "f9", "*"}


def test_answers_to_questions_are_whole_words() -> None:
    assert find_answer("yes please", TABLE, ("yes", "no")) == "yes"
    assert find_answer("negative", TABLE, ("yes", "no")) == "no"
    assert find_answer("yes", TABLE, ("leave-open", "take-now")) is None
    assert find_answer("leave them open", TABLE, ("leave-open", "take-now")) == "leave-open"
    assert find_answer("do not leave them open", TABLE, ("leave-open",)) is None


def shipped_items() -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """Yield each item's place, its right replies and those named as wrong."""
    for path in sorted(LISTS.rglob("*.yaml")):
        if path.name == "flight.yaml" or "overlays" in path.parts:
            continue
        for entry in load_checklist(path).items:
            right = tuple(r.text for r in entry.responses)
            yield f"{path.stem}:{entry.id}", right, tuple(w.response.text for w in entry.wrong)


def shipped_lists() -> list[Path]:
    """Return every shipped list that has a flight to be read for."""
    found = sorted(path for path in LISTS.rglob("*.yaml") if "overlays" not in path.parts)
    return [path for path in found if path.name != "flight.yaml" and flight_beside(path)]


flight_of = cache(load_flight)


@cache
def expectations_of(path: Path) -> tuple[tuple[str, Expectation], ...]:
    """Return what each item of a list expects, every condition made true."""
    beside = flight_beside(path)
    assert beside
    checklist, flight = load_checklist(path), flight_of(beside)
    return tuple(
        (f"{path.stem}:{one.id}", expectation_for(checklist, one, flight, default_tables()))
        for one in checklist.items
    )


def shipped_expectations() -> Iterator[tuple[str, Expectation]]:
    """Yield what each shipped item expects."""
    for path in shipped_lists():
        yield from expectations_of(path)


def test_no_command_is_taken_for_a_reply_of_a_shipped_list() -> None:
    tables = default_tables()
    replies = {text for _, right, wrong in shipped_items() for text in (*right, *wrong)}
    assert len(replies) > 40
    expected = Expectation(accepted=tuple(phrase(reply) for reply in sorted(replies)))
    taken = {
        (words, judged.reply)
        for words in TABLE.phrases()
        if (judged := judge_reply(words, expected, tables)).verdict is Verdict.MATCH
    }
    assert ("standby", "standby") in taken, "what is a reply of a list is taken for it"
    assert [pair for pair in taken if not alike(*pair)] == []


def alike(words: str, reply: str | None) -> bool:
    return words.replace(" ", "") == (reply or "").replace(" ", "")


def test_a_reply_that_is_also_a_command_is_a_reply_at_its_own_item() -> None:
    """A list may want "stop" for an answer, or name "continue" as wrong: there it is one."""
    shared: set[str] = set()
    for place, right, wrong in shipped_items():
        for reply in (*right, *wrong):
            if find_command(reply, TABLE) is None:
                continue
            shared.add(reply)
            desk = Desk(plan(items=(item("one", "One", *right, wrong=wrong),))).start()
            desk.say(reply)
            judged = [x.verdict for x in desk.records if isinstance(x, Replied)]
            assert judged == [Verdict.MATCH if reply in right else Verdict.MISMATCH], place
    assert "standby" in shared
    assert len(shared) < 6, "words of control should be rare as replies"


def test_words_of_control_at_items_that_list_them_are_replies_in_every_shipped_list() -> None:
    """Each item with all it lists, contrast sets included, as a session puts it."""
    met = 0
    for place, expected in shipped_expectations():
        listed = (*expected.accepted, *(w.answer for w in expected.wrong))
        for answer in listed:
            if match_command(answer.text, TABLE) is None:
                continue
            met += 1
            desk = Desk(plan(items=(item("one", "One", expectation=expected),))).start()
            desk.say(answer.text)
            assert not [x for x in desk.records if isinstance(x, Commanded)], place
    assert met > 5


def test_standby_holds_where_no_such_position_is_listed() -> None:
    desk = Desk(plan(items=(item("brake", "Parking brake", "on"),))).start()
    desk.say("standby")
    assert desk.state.progress.held


def test_a_position_that_the_list_declares_is_never_a_word_of_control() -> None:
    expected = Expectation((phrase("on"),), contrasts=(("on", "standby"),))
    desk = Desk(plan(items=(item("xpdr", "Transponder", expectation=expected),))).start()
    desk.say("standby")
    assert not desk.state.progress.held
    state = desk.state.progress.items[0]
    assert state.open
    assert state.mismatches + state.unclear == 1


def test_a_right_reply_to_the_question_for_a_reason_is_a_reply_first() -> None:
    desk = Desk(plan(items=(item("xpdr", "Transponder", "standby"),))).start()
    desk.say("skip").say("stand by")
    assert not desk.state.progress.held
    assert desk.state.progress.items[0].reply == "standby"


def test_disregard_takes_back_what_was_said_last() -> None:
    desk = Desk().start()
    desk.say("off").say("disregard")
    assert desk.state.progress.current == 0, "not accepted: it simply falls away"
    desk.say("on").say("disregard")
    assert desk.state.progress.current == 0, "accepted: the item is open again"
    assert desk.state.progress.items[0].open


def test_unable_and_not_applicable_leave_an_item_out_with_a_reason() -> None:
    desk = Desk().start()
    desk.say("not applicable")
    assert desk.state.progress.items[0].reason == "not applicable"
    desk.say("unable").say("the pump is out of service")
    assert desk.state.progress.items[1].reason == "the pump is out of service"


def test_two_spellings_of_the_same_sound_do_not_compete() -> None:
    """ "stand by" would stand against "standby" with the very same phonemes."""
    expected = Expectation((phrase("standby"),))
    found = candidates_for(expected, TABLE.groups(), default_tables())
    sounds = [form.replace(" ", "") for c in found.candidates for form in set(c.forms)]
    alike = [c.text for c in found.candidates if "standby" in {f.replace(" ", "") for f in c.forms}]
    assert alike == ["standby"], sounds


@given(st.text(max_size=40))
def test_any_text_is_looked_at_without_error(words: str) -> None:
    found = match_command(words, TABLE)
    if found:
        assert plain_words(words)
        assert match_command(f"please {words}", TABLE) == found


def test_formal_words_stay_where_everyday_words_are_left_out() -> None:
    formal = TABLE.formal({Command.GO_BACK})
    assert formal.entry(Command.GO_BACK).alone == TABLE.entry(Command.GO_BACK).phrases
    assert "back" in TABLE.phrases()
    assert "back" not in formal.phrases()
    assert formal.entry(Command.HOLD) == TABLE.entry(Command.HOLD)
