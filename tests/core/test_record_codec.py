"""Journal records survive the way to plain values and back, today's and tomorrow's."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from callout.core import journal_records as r
from callout.core.causes import Choice, Ending, Question, Why
from callout.core.commands import Command
from callout.core.expectation import Answer, Expectation, Value, ValueKind, Words, WrongReply
from callout.core.given import Given
from callout.core.plan import Plan, PlannedItem, Role
from callout.core.record_codec import RecordInvalid, RecordTooNew, from_plain, to_plain
from callout.core.sector import records as s
from callout.core.sector.questions import DeskChoice, DeskQuestion
from callout.core.sound import Disturbance, Disturbed, SoundTally
from callout.core.utterance import Source, Utterance
from callout.core.verdict import Verdict

UTC_NOON = datetime(2031, 5, 4, 12, 0, 0, 123456, tzinfo=UTC)
HEARD = Utterance(
    "on", "on it's", Source.VOICE, True, 0.9876, (("off", 0.01),), "engine", Role.LEFT_SEAT
)
VALUE = Value(Decimal("29.920"), "inHg", Decimal("0.01"), ValueKind.PRESSURE, 4, 2, True, ("hPa",))
PLAN = Plan(
    "x",
    "X",
    (
        PlannedItem(
            "altimeter",
            "Altimeter",
            "altimeter",
            Expectation(
                accepted=(Answer((Words("set"), VALUE), "set 29.92"),),
                wrong=(WrongReply(Answer((Words("set"),), "set"), "say it"),),
                contrasts=(("red", "green"),),
                synonyms={"baro": "altimeter"},
            ),
            role=Role.BOTH,
            replies=2,
        ),
    ),
    "X complete",
)
ALL = [
    r.Began(1, UTC_NOON, 0.0, "s", PLAN, {"version": "1"}),
    r.Resumed(2, UTC_NOON, 0.5, '{"half'),
    r.Challenged(3, UTC_NOON, 0.5, "altimeter", Why.RETURNED, 1),
    r.Replied(
        4, UTC_NOON, 1.0, "altimeter", HEARD, Verdict.MATCH, "ok", "", "on", 1.25, True, False
    ),
    r.Remarked(5, UTC_NOON, 1.0, "altimeter", HEARD),
    r.Commanded(6, UTC_NOON, 1.0, Command.SKIP, HEARD, "inoperative"),
    r.Asked(7, UTC_NOON, 1.0, Question.STOP, "altimeter"),
    r.Decided(8, UTC_NOON, 1.0, Question.STOP, Choice.NO, None),
    r.Misunderstood(9, UTC_NOON, 1.0, Question.OPEN_ITEMS, HEARD),
    r.Skipped(10, UTC_NOON, 1.0, "altimeter", "a \N{GRINNING FACE} reason\n", HEARD),
    r.Deferred(11, UTC_NOON, 1.0, "altimeter", "later"),
    r.NotApplicable(12, UTC_NOON, 1.0, "altimeter", "night"),
    r.Reopened(13, UTC_NOON, 1.0, "altimeter"),
    r.Held(14, UTC_NOON, 1.0, "altimeter"),
    r.Continued(15, UTC_NOON, 1.0, "altimeter"),
    r.Paced(16, UTC_NOON, 1.0, 1.2),
    r.Quieted(17, UTC_NOON, 1.0, True),
    r.PanelDone(18, UTC_NOON, 1.0, "Overhead", 4.5),
    r.Replanned(19, UTC_NOON, 1.0, PLAN, "icing"),
    r.Failed(20, UTC_NOON, 1.0, "hearing", "gone", "plug it in"),
    r.Recovered(21, UTC_NOON, 1.0, "hearing"),
    r.Suspended(22, UTC_NOON, 1.0, "keyboard"),
    r.Ended(23, UTC_NOON, 1.0, Ending.COMPLETED, "X complete", ("a",), ("b",), HEARD),
    r.PanelNamed(25, UTC_NOON, 1.0, "Overhead", HEARD, Verdict.MISMATCH),
    r.Stated(24, UTC_NOON, 1.0, "fuelling", False, HEARD),
    r.QuantityStated(26, UTC_NOON, 1.0, Given("v1", Decimal("125.5"), "kt"), HEARD),
    r.QuantityHeard(27, UTC_NOON, 1.0, Given("v1", Decimal(125)), HEARD),
    r.WantedAgain(28, UTC_NOON, 1.0, ("a", "b")),
    Disturbed(29, UTC_NOON, 1.0, Disturbance.LOST, 12, "12 blocks were lost.", 0.5, True, True),
]
FLIGHT = [
    s.SectorBegan(1, UTC_NOON, 0.0, "f", "ab", "Flight", (s.ListName("x", "X"),), "x", "cold"),
    s.SectorResumed(2, UTC_NOON, 0.5, '{"half'),
    s.ListCalled(3, UTC_NOON, 1.0, "x", "f-01-x", HEARD, ("W",)),
    s.ListSetAside(4, UTC_NOON, 1.0, "f-01-x"),
    s.ListTakenUp(5, UTC_NOON, 1.0, "f-01-x", HEARD),
    s.ListEnded(
        6,
        UTC_NOON,
        1.0,
        "f-01-x",
        Ending.STOPPED,
        2,
        1,
        {"night": True},
        ("v1",),
        ("a",),
        True,
        0.8,
        SoundTally(1, 2, 3),
    ),
    s.MomentCalled(7, UTC_NOON, 1.0, "taxiing", HEARD),
    s.SetUpStated(8, UTC_NOON, 1.0, "night", False, HEARD),
    s.QuantityGiven(16, UTC_NOON, 1.0, Given("v1", Decimal(125), "kt"), HEARD),
    s.DeskCommanded(9, UTC_NOON, 1.0, Command.SLOWER, HEARD, 0.8, True),
    s.DeskAsked(10, UTC_NOON, 1.0, DeskQuestion.AGAIN, "x"),
    s.DeskDecided(11, UTC_NOON, 1.0, DeskQuestion.AGAIN, DeskChoice.NO, HEARD),
    s.DeskMisunderstood(12, UTC_NOON, 1.0, HEARD),
    s.SectorFailed(13, UTC_NOON, 1.0, "hearing", "gone", "plug it in"),
    s.SectorRecovered(14, UTC_NOON, 1.0, "hearing"),
    s.SectorDisturbed(17, UTC_NOON, 1.0, Disturbance.FAINT, 1, "Come closer.", -52.5, True),
    s.SectorSuspended(15, UTC_NOON, 1.0, "keyboard"),
    s.SectorEnded(16, UTC_NOON, 1.0, ("X",)),
]


def test_there_is_an_example_of_every_record_type() -> None:
    known = (*vars(r).values(), *vars(s).values(), Disturbed)
    kinds = {v for v in known if isinstance(v, type) and issubclass(v, r.JournalRecord)}
    examples = {type(record) for record in (*ALL, *FLIGHT)}
    assert examples == kinds - {r.JournalRecord, s.SectorRecord}


@pytest.mark.parametrize("record", [*ALL, *FLIGHT], ids=lambda record: type(record).__name__)
def test_a_record_comes_back_as_it_was(record: r.JournalRecord) -> None:
    line = json.dumps(to_plain(record))
    assert from_plain(json.loads(line)) == record


def test_a_line_says_what_it_is_and_when_by_iso_8601() -> None:
    plain = to_plain(ALL[2])
    assert plain["schema"] == r.SCHEMA_VERSION
    assert plain["type"] == "challenged"
    assert plain["utc"] == "2031-05-04T12:00:00.123456Z"
    assert datetime.fromisoformat(plain["utc"]) == UTC_NOON


def test_fields_of_later_minor_versions_are_left_out() -> None:
    plain = {**to_plain(ALL[3]), "mood": "sunny"}
    assert from_plain(plain) == ALL[3]


def test_the_first_schema_version_stays_readable() -> None:
    """A line as written by version 0.1, kept here word for word."""
    line = (
        '{"schema":1,"type":"replied","seq":4,"utc":"2026-11-25T08:00:00.5Z","at":2.5,'
        '"item_id":"beacon","utterance":{"text":"off","transcript":"off","source":"keyboard"},'
        '"verdict":"mismatch","code":"named-wrong","reason":"\\"off\\" is wrong here.",'
        '"reply":"off","seconds":1.25}'
    )
    record = from_plain(json.loads(line))
    assert isinstance(record, r.Replied)
    assert record.verdict is Verdict.MISMATCH
    assert record.utterance == Utterance("off", "off", Source.KEYBOARD)


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"schema": True, "type": "held"},
        {"schema": 0, "type": "held"},
        {"schema": 1, "type": "unheard-of"},
        {"schema": 1, "type": "held"},
        {"schema": 1, "type": "held", "seq": "x", "utc": "2031-05-04T12:00:00Z", "at": 0.0},
        {"schema": 1, "type": "held", "seq": 1, "utc": "noon", "at": 0.0, "item_id": "a"},
        {
            "schema": 1,
            "type": "held",
            "seq": 1,
            "utc": "2031-05-04T12:00:00",
            "at": 0,
            "item_id": "a",
        },
        {"schema": 1, "type": "began", "seq": 1, "utc": "2031-05-04T12:00:00Z", "at": 0, "plan": 3},
    ],
)
def test_other_things_are_refused(fields: dict[str, object]) -> None:
    with pytest.raises(RecordInvalid):
        from_plain(fields)


def test_a_later_schema_version_is_named() -> None:
    with pytest.raises(RecordTooNew, match="schema version 2"):
        from_plain({**to_plain(ALL[2]), "schema": 2})
