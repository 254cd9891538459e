"""Journals as plain tables: the name, content and meaning of each column."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from callout.core.debrief.column_kinds import (
    FLAG,
    MOMENT,
    NUMBER,
    TEXT,
    WHOLE,
    Column,
    InItem,
    Value,
    month_of,
    naive_utc,
)
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import FlightFact, ItemFact, SessionFact


def _shows_deviation(deviation: Deviation) -> Callable[[ItemFact], bool]:
    return lambda item: deviation in item.deviations


_ID: Final = "id of the session: the name of its journal"
_UTC: Final = "when the session began, UTC"
_MONTH: Final = "month of the beginning, as 2031-05"
_PERSON: Final = "crew as set, else the name of the folder"
_SCHOOL: Final = "school, as told to callout collect; empty: none"
_TITLE: Final = "title of the list"

SESSIONS: Final[tuple[Column[SessionFact], ...]] = (
    Column("session_id", TEXT, _ID, lambda s: s.session_id),
    Column("began", MOMENT, _UTC, lambda s: naive_utc(s.began)),
    Column("month", TEXT, _MONTH, lambda s: month_of(s.began)),
    Column("ended", MOMENT, "last record kept, UTC", lambda s: naive_utc(s.ended)),
    Column("school", TEXT, _SCHOOL, lambda s: s.school),
    Column("person", TEXT, _PERSON, lambda s: s.person),
    Column("aircraft", TEXT, "aircraft", lambda s: s.aircraft),
    Column("operator", TEXT, "operator", lambda s: s.operator),
    Column("list_id", TEXT, "id of the list", lambda s: s.list_id),
    Column("title", TEXT, _TITLE, lambda s: s.title),
    Column("phase", TEXT, "phase of flight; empty: not known", lambda s: s.phase),
    Column("method", TEXT, "how the list is worked", lambda s: s.method),
    Column("flight", TEXT, "id of its flight; empty: none", lambda s: s.flight),
    Column("drill", TEXT, "kind of drill; empty: an ordinary run", lambda s: s.drill),
    Column("hearing", TEXT, "what listened, or keyboard", lambda s: s.hearing),
    Column(
        "ending",
        TEXT,
        "how it ended; null: interrupted",
        lambda s: s.ending.value if s.ending else None,
    ),
    Column("minutes", NUMBER, "session time, breaks left out", lambda s: s.minutes),
    Column("items", WHOLE, "items that applied", lambda s: s.items),
    Column("first_time", WHOLE, "right at the first reply", lambda s: s.first_time),
    Column("skipped", WHOLE, "items skipped", lambda s: s.skipped),
    Column("deferred", WHOLE, "items put off", lambda s: s.deferred),
    Column("mismatches", WHOLE, "wrong replies caught", lambda s: s.mismatches),
    Column("unclear", WHOLE, "replies not understood", lambda s: s.unclear),
    Column("fast", WHOLE, "right replies too fast to have looked", lambda s: s.fast),
    Column("slow", WHOLE, "slow replies", lambda s: s.slow),
    Column("out_of_order", WHOLE, "items passed over", lambda s: s.out_of_order),
    Column("holds", WHOLE, "times it was held", lambda s: s.holds),
    Column("hold_seconds", NUMBER, "time held", lambda s: s.hold_seconds),
    Column("resumes", WHOLE, "times it was taken up again", lambda s: s.resumes),
    Column("flow_seconds", NUMBER, "time of the flow; null: none", lambda s: s.flow_seconds),
    Column(
        "wrong_time",
        FLAG,
        "called for before a list that comes first",
        lambda s: Deviation.WRONG_TIME in s.deviations,
    ),
)


def _of_session(*names: str, name: str = "") -> Iterator[Column[Any]]:
    """Yield columns that every row takes from its session; name: the column's name there."""
    known = {column.name: column for column in SESSIONS}
    for one in names:
        yield replace(known[one], name=name or one, shared=one)


ITEMS: Final[tuple[Column[ItemFact], ...]] = (
    *_of_session("session_id", "began", "month", "school", "person", "aircraft", "list_id"),
    *_of_session("title", name="list_title"),
    *_of_session("phase", "drill"),
    Column("item_id", TEXT, "id of the item in its list", lambda i: i.item_id),
    Column("position", WHOLE, "place in the list, 0 first", lambda i: i.position),
    Column("challenge", TEXT, "the challenge", lambda i: i.challenge),
    Column("section", TEXT, "section of the list", lambda i: i.section),
    Column("role", TEXT, "who answers", lambda i: i.role.value),
    Column("critical", FLAG, "never to be missed", lambda i: i.critical),
    Column(
        "outcome",
        TEXT,
        "what came of it; null: not reached",
        lambda i: i.outcome.value if i.outcome else None,
    ),
    Column("met", FLAG, "the person had a chance at it", lambda i: i.met),
    Column("asked", WHOLE, "times challenged", lambda i: i.asked),
    Column("tries", WHOLE, "replies judged", lambda i: i.tries),
    Column("mismatches", WHOLE, "wrong replies caught", lambda i: i.mismatches),
    Column("unclear", WHOLE, "replies not understood", lambda i: i.unclear),
    Column("deferred", FLAG, "put off", lambda i: i.deferred),
    Column("skipped", FLAG, "skipped", lambda i: i.skipped),
    Column("skip_reason", TEXT, "why, in the person's words", lambda i: i.skip_reason),
    Column("passed_over", FLAG, "a later one was taken first", lambda i: i.passed_over),
    Column("slow", FLAG, "slow reply", lambda i: i.slow),
    Column("first_time", FLAG, "right at the first reply", lambda i: i.first_time),
    Column(
        "reply_seconds",
        NUMBER,
        "end of the challenge to the first reply; null: none",
        lambda i: i.reply_seconds,
    ),
    Column(
        "source",
        TEXT,
        "how the first reply was given",
        lambda i: i.heard[0].source if i.heard else "",
    ),
    Column("total_seconds", NUMBER, "time it was asked", lambda i: i.total_seconds),
    Column("reply", TEXT, "the answer that settled it", lambda i: i.reply),
    Column("omitted", FLAG, "skipped, or left open", _shows_deviation(Deviation.OMITTED)),
    Column("wrong", FLAG, "a wrong reply was caught", _shows_deviation(Deviation.MISMATCHED)),
    Column("not_set", FLAG, "said right, and not set", _shows_deviation(Deviation.NOT_SET)),
    Column(
        "too_fast",
        FLAG,
        "right within a second; trends use a person's own pace",
        _shows_deviation(Deviation.TOO_FAST),
    ),
    Column(
        "out_of_order",
        FLAG,
        "challenged before its turn",
        _shows_deviation(Deviation.OUT_OF_SEQUENCE),
    ),
)

REPLIES: Final[tuple[Column[InItem], ...]] = (
    *_of_session("session_id", "school", "month"),
    Column("item_id", TEXT, "id of the item in its list", lambda r: r.item.item_id),
    Column("number", WHOLE, "1 for the first reply to it", lambda r: r.number),
    Column("at_seconds", NUMBER, "session time in seconds", lambda r: r.reply.at),
    Column("words", TEXT, "the words understood", lambda r: r.reply.text),
    Column("transcript", TEXT, "word for word", lambda r: r.reply.transcript),
    Column("sure", FLAG, "the recogniser was sure", lambda r: r.reply.sure),
    Column("verdict", TEXT, "match, mismatch or unclear", lambda r: r.reply.verdict.value),
    Column("code", TEXT, "short name of the reason", lambda r: r.reply.code),
    Column("reason", TEXT, "the reason in words", lambda r: r.reply.reason),
    Column("seconds", NUMBER, "end of the challenge to it", lambda r: r.reply.seconds),
    Column("source", TEXT, "voice or keyboard", lambda r: r.reply.source),
    Column("seat", TEXT, "who gave it; empty: not known", lambda r: r.reply.seat),
)

FLIGHTS: Final[tuple[Column[FlightFact], ...]] = (
    Column("flight", TEXT, "id of the flight", lambda f: f.flight),
    Column("began", MOMENT, "when it began, UTC", lambda f: naive_utc(f.began)),
    Column("month", TEXT, _MONTH, lambda f: month_of(f.began)),
    Column("school", TEXT, _SCHOOL, lambda f: f.school),
    Column("person", TEXT, _PERSON, lambda f: f.person),
    Column("aircraft", TEXT, "aircraft", lambda f: f.aircraft),
    Column("operator", TEXT, "operator", lambda f: f.operator),
    Column("title", TEXT, "name of the flight", lambda f: f.title),
    Column("finished", FLAG, "ended as planned", lambda f: f.finished),
    Column("called", WHOLE, "lists called for", lambda f: len(f.called)),
    Column("early", WHOLE, "called for too early", lambda f: len(f.warned)),
    Column("not_completed", WHOLE, "due, not completed", lambda f: len(f.not_completed)),
    Column("never_started", WHOLE, "due, never called for", lambda f: len(f.never_started)),
)

TABLES: Final[Mapping[str, tuple[Column[Any], ...]]] = {
    "sessions": SESSIONS,
    "items": ITEMS,
    "replies": REPLIES,
    "flights": FLIGHTS,
}
"""Every table with its columns, in order."""

OWN: Final[Mapping[str, tuple[Column[Any], ...]]] = {
    table: tuple(column for column in columns if not column.shared)
    for table, columns in TABLES.items()
}
"""The columns of each table, without those its rows take from their session."""
Values = tuple[Value, ...]
"""One row's values in the table's own columns, in order."""
Rows = Mapping[str, Sequence[Values]]
"""Rows of some tables; if there is one session, the other rows belong to it."""


def session_values(session: SessionFact, items: Iterable[ItemFact]) -> Rows:
    """Return the rows of a session, of its items and of their replies."""
    met = tuple(items)
    heard = (InItem(item, n, reply) for item in met for n, reply in enumerate(item.heard, start=1))
    return {
        "sessions": [_values("sessions", session)],
        "items": [_values("items", item) for item in met],
        "replies": [_values("replies", reply) for reply in heard],
    }


def flight_values(flight: FlightFact) -> Rows:
    """Return the row of a flight."""
    return {"flights": [_values("flights", flight)]}


def _values(table: str, fact: object) -> Values:
    return tuple(column.value(fact) for column in OWN[table])
