"""Journal records survive the way to plain values and back, today's and tomorrow's."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Choice, Ending, Question, Why
from callout.core.conversation import records as c
from callout.core.conversation.pacing import FlowMode
from callout.core.conversation.records import Disturbance, Disturbed
from callout.core.conversation.sound import SoundTally
from callout.core.flight_run import records as s
from callout.core.flight_run.questions import DeskChoice, DeskQuestion
from callout.core.keeping.record_codec import RecordInvalid, RecordTooNew, from_plain, to_plain
from callout.core.model.commands import Command
from callout.core.model.expectation import Answer, Expectation, Value, ValueKind, Words, WrongReply
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan, PlannedItem, Role
from callout.core.planning.proofs import Figure, PlannedProof, Watched
from callout.core.planning.stated_quantity import Given
from callout.core.state.proving import Standing

UTC_NOON = datetime(2031, 5, 4, 12, 0, 0, 123456, tzinfo=UTC)
HEARD = Utterance(
    "on", "on it's", ReplySource.VOICE, True, 0.9876, (("off", 0.01),), "engine", Role.LEFT_SEAT
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
            proof=PlannedProof(
                "altimeter == qnh",
                {"altimeter": Watched("altimeter", "hPa")},
                {"qnh": Figure(Decimal("1018"), "hPa")},
                {"side": "left"},
                ("v1",),
                Decimal("0.5"),
                4.0,
                True,
            ),
        ),
    ),
    "X complete",
)
ALL = [
    r.Began("s", PLAN, {"version": "1"}, seq=1, utc=UTC_NOON, at=0.0),
    c.Resumed('{"half', seq=2, utc=UTC_NOON, at=0.5),
    r.Challenged("altimeter", Why.RETURNED, 1, seq=3, utc=UTC_NOON, at=0.5),
    r.Replied(
        "altimeter",
        HEARD,
        Verdict.MATCH,
        "ok",
        "",
        "on",
        1.25,
        True,
        False,
        seq=4,
        utc=UTC_NOON,
        at=1.0,
    ),
    r.Replied(
        "altimeter",
        HEARD,
        Verdict.MISMATCH,
        "not-set",
        "You said on; the beacon is off.",
        "on",
        said=Verdict.MATCH,
        standing=Standing.NOT_SET,
        found="the beacon is off",
        seq=35,
        utc=UTC_NOON,
        at=1.0,
    ),
    r.ControlMoved("beacon", "off", "on", "beacon", "Overhead", seq=37, utc=UTC_NOON, at=1.0),
    r.FlowSeen(("a",), ("b",), ("c",), ("d",), ("e",), seq=38, utc=UTC_NOON, at=1.0),
    r.Proved("altimeter", "on", "the beacon is on", seq=36, utc=UTC_NOON, at=1.0),
    r.Remarked("altimeter", HEARD, seq=5, utc=UTC_NOON, at=1.0),
    r.Commanded(Command.SKIP, HEARD, "inoperative", seq=6, utc=UTC_NOON, at=1.0),
    r.Asked(Question.STOP, "altimeter", seq=7, utc=UTC_NOON, at=1.0),
    r.Decided(Question.STOP, Choice.NO, None, seq=8, utc=UTC_NOON, at=1.0),
    r.Misunderstood(Question.OPEN_ITEMS, HEARD, seq=9, utc=UTC_NOON, at=1.0),
    r.Skipped("altimeter", "a \N{GRINNING FACE} reason\n", HEARD, seq=10, utc=UTC_NOON, at=1.0),
    r.Deferred("altimeter", "later", seq=11, utc=UTC_NOON, at=1.0),
    r.NotApplicable("altimeter", "night", seq=12, utc=UTC_NOON, at=1.0),
    r.Reopened("altimeter", seq=13, utc=UTC_NOON, at=1.0),
    r.Held("altimeter", seq=14, utc=UTC_NOON, at=1.0),
    r.Continued("altimeter", seq=15, utc=UTC_NOON, at=1.0),
    r.Paced(1.2, seq=16, utc=UTC_NOON, at=1.0),
    r.Quieted(True, seq=17, utc=UTC_NOON, at=1.0),
    r.PanelDone("Overhead", 4.5, seq=18, utc=UTC_NOON, at=1.0),
    r.Replanned(PLAN, "icing", seq=19, utc=UTC_NOON, at=1.0),
    c.Failed("hearing", "gone", "plug it in", seq=20, utc=UTC_NOON, at=1.0),
    c.Recovered("hearing", seq=21, utc=UTC_NOON, at=1.0),
    c.Suspended("keyboard", seq=22, utc=UTC_NOON, at=1.0),
    r.Ended(Ending.COMPLETED, "X complete", ("a",), ("b",), HEARD, seq=23, utc=UTC_NOON, at=1.0),
    r.PanelNamed("Overhead", HEARD, Verdict.MISMATCH, seq=25, utc=UTC_NOON, at=1.0),
    r.Stated("fuelling", False, HEARD, seq=24, utc=UTC_NOON, at=1.0),
    r.QuantityStated(Given("v1", Decimal("125.5"), "kt"), HEARD, seq=26, utc=UTC_NOON, at=1.0),
    r.QuantityHeard(Given("v1", Decimal(125)), HEARD, seq=27, utc=UTC_NOON, at=1.0),
    r.WantedAgain(("a", "b"), seq=28, utc=UTC_NOON, at=1.0),
    Disturbed(
        Disturbance.LOST, 12, "12 blocks were lost.", 0.5, True, True, seq=29, utc=UTC_NOON, at=1.0
    ),
    r.Recited(
        "brake", HEARD, Verdict.MISMATCH, "early", "on", 4.5, "key", seq=30, utc=UTC_NOON, at=1.0
    ),
    r.Prompted("brake", seq=31, utc=UTC_NOON, at=1.0),
    r.ControlRecalled(
        "Pedestal", "Flap lever", Verdict.MATCH, HEARD, told=False, seq=32, utc=UTC_NOON, at=1.0
    ),
    r.FlowWorked(FlowMode.RECALL, passed=True, seq=33, utc=UTC_NOON, at=1.0),
    r.Led("ammeter", "@end:a", "charging", ("b",), ("c",), seq=32, utc=UTC_NOON, at=1.0),
]
FLIGHT = [
    s.SectorBegan(
        "f", "ab", "Flight", (s.ListName("x", "X"),), "x", "cold", seq=1, utc=UTC_NOON, at=0.0
    ),
    s.SectorResumed('{"half', seq=2, utc=UTC_NOON, at=0.5),
    s.ListCalled("x", "f-01-x", HEARD, ("W",), sprung=True, seq=3, utc=UTC_NOON, at=1.0),
    s.ListSetAside("f-01-x", seq=4, utc=UTC_NOON, at=1.0),
    s.ListTakenUp("f-01-x", HEARD, seq=5, utc=UTC_NOON, at=1.0),
    s.ListEnded(
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
        seq=6,
        utc=UTC_NOON,
        at=1.0,
    ),
    s.MovedSince("beacon", "the beacon is off", seq=18, utc=UTC_NOON, at=1.0),
    s.MomentCalled("taxiing", HEARD, seq=7, utc=UTC_NOON, at=1.0),
    s.SetUpStated("night", False, HEARD, seq=8, utc=UTC_NOON, at=1.0),
    s.QuantityGiven(Given("v1", Decimal(125), "kt"), HEARD, seq=16, utc=UTC_NOON, at=1.0),
    s.DeskCommanded(Command.SLOWER, HEARD, 0.8, True, seq=9, utc=UTC_NOON, at=1.0),
    s.DeskAsked(DeskQuestion.AGAIN, "x", seq=10, utc=UTC_NOON, at=1.0),
    s.DeskDecided(DeskQuestion.AGAIN, DeskChoice.NO, HEARD, seq=11, utc=UTC_NOON, at=1.0),
    s.DeskMisunderstood(HEARD, seq=12, utc=UTC_NOON, at=1.0),
    s.SectorFailed("hearing", "gone", "plug it in", seq=13, utc=UTC_NOON, at=1.0),
    s.SectorRecovered("hearing", seq=14, utc=UTC_NOON, at=1.0),
    s.SectorDisturbed(
        Disturbance.FAINT, 1, "Come closer.", -52.5, True, seq=17, utc=UTC_NOON, at=1.0
    ),
    s.SectorSuspended("keyboard", seq=15, utc=UTC_NOON, at=1.0),
    s.SectorEnded(("X",), seq=16, utc=UTC_NOON, at=1.0),
]


def test_there_is_an_example_of_every_record_type() -> None:
    known = (*vars(c).values(), *vars(r).values(), *vars(s).values())
    kinds = {v for v in known if isinstance(v, type) and issubclass(v, c.JournalRecord)}
    examples = {type(record) for record in (*ALL, *FLIGHT)}
    assert examples == kinds - {c.JournalRecord, s.SectorRecord}


@pytest.mark.parametrize("record", [*ALL, *FLIGHT], ids=lambda record: type(record).__name__)
def test_a_record_comes_back_as_it_was(record: c.JournalRecord) -> None:
    line = json.dumps(to_plain(record))
    assert from_plain(json.loads(line)) == record


def test_a_line_says_what_it_is_and_when_by_iso_8601() -> None:
    plain = to_plain(ALL[2])
    assert plain["schema"] == c.SCHEMA_VERSION
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
    assert record.utterance == Utterance("off", "off", ReplySource.KEYBOARD)


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


@pytest.mark.parametrize(
    ("fields", "record"),
    [
        (
            {"type": "drill-failed", "part": "voice", "message": "gone", "hint": "type"},
            c.Failed("voice", "gone", "type", seq=3, utc=UTC_NOON, at=1.0),
        ),
        (
            {"type": "drill-recovered", "part": "voice"},
            c.Recovered("voice", seq=3, utc=UTC_NOON, at=1.0),
        ),
        (
            {"type": "drill-suspended", "why": "keyboard"},
            c.Suspended("keyboard", seq=3, utc=UTC_NOON, at=1.0),
        ),
    ],
)
def test_former_type_names_stay_readable(
    fields: dict[str, object], record: c.JournalRecord
) -> None:
    place = {"schema": 1, "seq": 3, "utc": "2031-05-04T12:00:00.123456Z", "at": 1.0}
    assert from_plain({**place, **fields}) == record


def test_a_record_of_the_first_instant_keeps_its_time() -> None:
    first = r.Held("beacon", seq=1, utc=UTC_NOON, at=0.0)
    assert to_plain(first)["at"] == 0.0
    assert from_plain(to_plain(first)) == first
