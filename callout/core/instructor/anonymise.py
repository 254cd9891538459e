"""Anonymises journals: removes names, voices and free text, and keeps everything that is counted.

Every text field of every record has its treatment here. A field that is not named is dropped, so
that a new field is never exported by accident.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any

from callout.core.checklist_run import records as r
from callout.core.conversation import records as c
from callout.core.conversation.records import Disturbed, JournalRecord
from callout.core.drill import records as d
from callout.core.flight_run import records as s
from callout.core.instructor.free_text import TEXT, Mask, coded_all, pseudonym, words_in
from callout.core.model.utterance import Utterance
from callout.core.planning.plan import Plan


class Treat(Enum):
    """What happens to a text."""

    KEEP = "keep"
    """Codes."""
    ID = "id"
    """Ids; parts of names in them get a pseudonym."""
    LISTED = "listed"
    """Text of a list."""
    TITLED = "titled"
    """A title that a person wrote."""
    SPOKEN = "spoken"
    REASON = "reason"
    REMOVE = "remove"
    DROP = "drop"


TEXTS: dict[tuple[type[JournalRecord], str], Treat] = {
    (r.Began, "session_id"): Treat.ID,
    (c.Resumed, "torn"): Treat.DROP,
    (r.Challenged, "passed_over"): Treat.ID,
    (r.Replied, "code"): Treat.KEEP,
    (r.Replied, "reason"): Treat.LISTED,
    (r.Replied, "reply"): Treat.LISTED,
    (r.Replied, "found"): Treat.LISTED,
    **{(r.Proved, name): Treat.LISTED for name in ("reply", "found")},
    (r.Commanded, "rest"): Treat.REASON,
    (r.Asked, "fact"): Treat.ID,
    (r.Skipped, "reason"): Treat.REASON,
    (r.Deferred, "note"): Treat.REASON,
    (r.NotApplicable, "condition"): Treat.LISTED,
    (r.Reopened, "because"): Treat.LISTED,
    (r.Led, "to"): Treat.ID,
    (r.Recited, "code"): Treat.KEEP,
    (r.Recited, "reply"): Treat.LISTED,
    (r.Recited, "early"): Treat.KEEP,
    (r.Led, "reply"): Treat.LISTED,
    (r.Led, "dropped"): Treat.ID,
    (r.Led, "restored"): Treat.ID,
    (r.PanelDone, "panel"): Treat.LISTED,
    (r.PanelNamed, "panel"): Treat.LISTED,
    **{(r.ControlRecalled, name): Treat.LISTED for name in ("panel", "control")},
    (r.ControlMoved, "control"): Treat.ID,
    **{(r.ControlMoved, name): Treat.LISTED for name in ("was", "now", "label", "panel")},
    **{(r.FlowSeen, name): Treat.LISTED for name in ("missed", "mistaken", "back", "unknown")},
    (r.FlowSeen, "first"): Treat.ID,
    (r.Stated, "fact"): Treat.ID,
    (r.WantedAgain, "item_ids"): Treat.ID,
    (r.Replanned, "words"): Treat.SPOKEN,
    (c.Failed, "part"): Treat.KEEP,
    (c.Failed, "message"): Treat.REMOVE,
    (c.Failed, "hint"): Treat.REMOVE,
    (c.Recovered, "part"): Treat.KEEP,
    (Disturbed, "message"): Treat.REMOVE,
    (c.Suspended, "why"): Treat.SPOKEN,
    (r.Ended, "call"): Treat.LISTED,
    (r.Ended, "open_items"): Treat.ID,
    (r.Ended, "skipped"): Treat.ID,
    (s.SectorBegan, "sector_id"): Treat.ID,
    (s.SectorBegan, "mark"): Treat.KEEP,
    (s.SectorBegan, "title"): Treat.TITLED,
    (s.SectorBegan, "first"): Treat.ID,
    (s.SectorBegan, "received"): Treat.SPOKEN,
    (s.ListCalled, "warned"): Treat.LISTED,
    (s.ListCalled, "rest_of"): Treat.ID,
    (s.ListEnded, "produced"): Treat.ID,
    (s.ListEnded, "once"): Treat.ID,
    (s.ListEnded, "recital"): Treat.LISTED,
    (s.MomentCalled, "moment"): Treat.SPOKEN,
    (s.MovedSince, "found"): Treat.LISTED,
    (s.SetUpStated, "fact"): Treat.ID,
    (s.SectorEnded, "not_completed"): Treat.LISTED,
    (d.DrillBegan, "drill_id"): Treat.ID,
    (d.ExerciseAnswered, "code"): Treat.KEEP,
    (d.ExerciseAnswered, "reason"): Treat.LISTED,
    (d.ExerciseAnswered, "reply"): Treat.LISTED,
}
"""Treatment by record (or its base class) and field."""

EVERYWHERE = {
    "item_id": Treat.ID,
    "item_ids": Treat.ID,
    "session_id": Treat.ID,
    "list_id": Treat.ID,
}
"""Treatment by field, whatever the record."""

TALK = (r.Remarked, r.Misunderstood, r.Skipped, s.DeskMisunderstood, d.DrillRemarked)
"""Records whose utterance is talk, which is removed whole."""

ABOUT = {
    "version": Treat.KEEP,
    "hearing": Treat.TITLED,
    "platform": Treat.KEEP,
    "aircraft": Treat.TITLED,
    "sector": Treat.ID,
    "drill": Treat.ID,
    "received": Treat.KEEP,
}
"""What is kept about the program; file names often contain a person's name."""
IDS = {"id", "item_id", "list_id", "facts", "figures", "hangs_on"}
"""Fields inside a plan that name parts of a list, and facts of a set-up, by id."""
REMARKS = {"cautions", "notes", "because"}
"""Free text of a plan that no count depends on."""
NAMED = {"crew": "trainee", "operator": "operator"}
"""What is kept under a pseudonym, and the pseudonym's prefix."""


def anonymise_records(records: Sequence[JournalRecord], mask: Mask) -> tuple[JournalRecord, ...]:
    """Return ``records`` without names and free text; counts, times and verdicts stay."""
    allowed = mask.with_words(words_in(t for record in records for t in _list_texts(record)))
    return tuple(_record(record, allowed) for record in records)


def names_in(records: Sequence[JournalRecord]) -> frozenset[str]:
    """Return the people that the journal itself names."""
    abouts = (getattr(record, "about", {}) for record in records[:1])
    return frozenset(about["crew"] for about in abouts if about.get("crew"))


def _list_texts(record: JournalRecord) -> Iterator[str]:
    plan = getattr(record, "plan", None)
    if isinstance(plan, Plan):
        yield plan.title
        for item in plan.items:
            yield from (item.challenge, item.spoken, item.panel, item.section)
            wrong = [reply.answer for reply in item.expectation.wrong]
            yield from (a.text for a in (*item.expectation.accepted, *wrong))
    for exercise in getattr(record, "exercises", ()):
        yield from (exercise.title, exercise.name, exercise.prompt, exercise.answer)
        yield from (answer.text for answer in exercise.expectation.accepted)
        yield from (wrong.answer.text for wrong in exercise.expectation.wrong)


def _record(record: JournalRecord, mask: Mask) -> JournalRecord:
    changed = {f.name: _field(record, f.name, mask) for f in fields(record)}
    return replace(record, **changed)


def _field(record: JournalRecord, name: str, mask: Mask) -> Any:
    value = getattr(record, name)
    if isinstance(value, Enum | int | float) or value is None:
        return value
    if isinstance(record, r.Replied | d.ExerciseAnswered) and name == "reason":
        said = record.utterance
        return mask.told(value, f"{said.text} {said.transcript}")
    if isinstance(value, Utterance):
        return _utterance(value, mask, talk=isinstance(record, TALK))
    if name == "about":
        return _about(value, mask)
    if isinstance(value, str):
        return _text(value, field_treatment(type(record), name), mask)
    if isinstance(value, tuple) and all(isinstance(one, str) for one in value):
        return _texts(value, field_treatment(type(record), name), mask)
    return _other(value, mask, name)


def field_treatment(kind: type[JournalRecord], name: str) -> Treat:
    """Return the treatment of the text field ``name`` of a record; unknown fields are dropped."""
    named = (TEXTS[base, name] for base in kind.__mro__ if (base, name) in TEXTS)
    return next(named, None) or EVERYWHERE.get(name, Treat.DROP)


def _texts(value: tuple[str, ...], treat: Treat, mask: Mask) -> tuple[str, ...]:
    if treat in (Treat.DROP, Treat.REMOVE):
        return ()
    return tuple(_text(one, treat, mask) for one in value)


def _text(text: str, treat: Treat, mask: Mask) -> str:
    match treat:
        case Treat.KEEP:
            return text
        case Treat.ID:
            return mask.coded(text)
        case Treat.LISTED:
            return mask.listed(text)
        case Treat.TITLED:
            return mask.titled(text)
        case Treat.SPOKEN:
            return mask.spoken(text)
        case Treat.REASON:
            return mask.reason(text)
        case Treat.REMOVE:
            return TEXT if text else ""
        case Treat.DROP:
            return ""


def _utterance(said: Utterance, mask: Mask, *, talk: bool) -> Utterance:
    if talk:
        text, transcript = (TEXT if t else "" for t in (said.text, said.transcript))
        return replace(said, text=text, transcript=transcript, alternatives=())
    return replace(
        said,
        text=mask.spoken(said.text),
        transcript=mask.spoken(said.transcript),
        alternatives=tuple((mask.spoken(text), p) for text, p in said.alternatives),
    )


def _about(about: Mapping[str, str], mask: Mask) -> dict[str, str]:
    kept = {key: _text(about[key], treat, mask) for key, treat in ABOUT.items() if key in about}
    named = {
        key: pseudonym(kind, about[key], mask.salt) for key, kind in NAMED.items() if about.get(key)
    }
    return {**kept, **named}


def _other(value: Any, mask: Mask, name: str = "") -> Any:
    """Return nested values with every text in them masked; ids, numbers and dates are unchanged."""
    if name in IDS:
        return coded_all(value, mask)
    if isinstance(value, Enum):
        return value
    if name in REMARKS:
        return type(value)()
    if isinstance(value, str):
        return mask.titled(value) if name == "aircraft" else mask.listed(value)
    if isinstance(value, tuple):
        return tuple(_other(one, mask) for one in value)
    if isinstance(value, Mapping):
        return {mask.listed(str(key)): _other(one, mask) for key, one in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: _other(getattr(value, f.name), mask, f.name) for f in fields(value)}
        return replace(value, **changed)
    return value
