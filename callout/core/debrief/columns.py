"""Journals as plain tables: what each column is called, holds and means."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from callout.core.debrief.column_kinds import (
    FLAG,
    MOMENT,
    NUMBER,
    TEXT,
    WHOLE,
    Column,
    InItem,
    InSession,
    Value,
    month_of,
    naive_utc,
)
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import FlightFact, ItemFact, SessionFact


def _shows_deviation(deviation: Deviation) -> Callable[[InSession], bool]:
    return lambda row: deviation in row.item.deviations


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

ITEMS: Final[tuple[Column[InSession], ...]] = (
    Column("session_id", TEXT, _ID, lambda r: r.session.session_id),
    Column("began", MOMENT, _UTC, lambda r: naive_utc(r.session.began)),
    Column("month", TEXT, _MONTH, lambda r: month_of(r.session.began)),
    Column("school", TEXT, _SCHOOL, lambda r: r.session.school),
    Column("person", TEXT, _PERSON, lambda r: r.session.person),
    Column("aircraft", TEXT, "aircraft", lambda r: r.session.aircraft),
    Column("list_id", TEXT, "id of the list", lambda r: r.session.list_id),
    Column("list_title", TEXT, _TITLE, lambda r: r.session.title),
    Column("phase", TEXT, "phase of flight; empty: not known", lambda r: r.session.phase),
    Column("drill", TEXT, "kind of drill; empty: an ordinary run", lambda r: r.session.drill),
    Column("item_id", TEXT, "id of the item in its list", lambda r: r.item.item_id),
    Column("position", WHOLE, "place in the list, 0 first", lambda r: r.item.position),
    Column("challenge", TEXT, "the challenge", lambda r: r.item.challenge),
    Column("section", TEXT, "section of the list", lambda r: r.item.section),
    Column("role", TEXT, "who answers", lambda r: r.item.role.value),
    Column("critical", FLAG, "never to be missed", lambda r: r.item.critical),
    Column(
        "outcome",
        TEXT,
        "what came of it; null: not reached",
        lambda r: r.item.outcome.value if r.item.outcome else None,
    ),
    Column("met", FLAG, "the person had a chance at it", lambda r: r.item.met),
    Column("asked", WHOLE, "times challenged", lambda r: r.item.asked),
    Column("tries", WHOLE, "replies judged", lambda r: r.item.tries),
    Column("mismatches", WHOLE, "wrong replies caught", lambda r: r.item.mismatches),
    Column("unclear", WHOLE, "replies not understood", lambda r: r.item.unclear),
    Column("deferred", FLAG, "put off", lambda r: r.item.deferred),
    Column("skipped", FLAG, "skipped", lambda r: r.item.skipped),
    Column("skip_reason", TEXT, "why, in the person's words", lambda r: r.item.skip_reason),
    Column("passed_over", FLAG, "a later one was taken first", lambda r: r.item.passed_over),
    Column("slow", FLAG, "slow reply", lambda r: r.item.slow),
    Column("first_time", FLAG, "right at the first reply", lambda r: r.item.first_time),
    Column(
        "reply_seconds",
        NUMBER,
        "end of the challenge to the first reply; null: none",
        lambda r: r.item.reply_seconds,
    ),
    Column(
        "source",
        TEXT,
        "how the first reply was given",
        lambda r: r.item.heard[0].source if r.item.heard else "",
    ),
    Column("total_seconds", NUMBER, "time it was asked", lambda r: r.item.total_seconds),
    Column("reply", TEXT, "the answer that settled it", lambda r: r.item.reply),
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
    Column("session_id", TEXT, _ID, lambda r: r.session.session_id),
    Column("school", TEXT, _SCHOOL, lambda r: r.session.school),
    Column("month", TEXT, _MONTH, lambda r: month_of(r.session.began)),
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

Row = SessionFact | InSession | InItem | FlightFact
"""What one row of a table is made from."""


def rows_of(session: SessionFact, items: tuple[ItemFact, ...]) -> Iterator[tuple[str, Row]]:
    """Yield table and row of a session, of its items and of their replies."""
    yield "sessions", session
    for item in items:
        yield "items", InSession(session, item)
        for number, reply in enumerate(item.heard, start=1):
            yield "replies", InItem(session, item, number, reply)


def column_values(column: Column[Any], rows: Iterable[Row]) -> list[Value]:
    """Return what a column holds in each of some rows."""
    if column.kind is TEXT:
        return [_storable_text(column.value(row)) for row in rows]
    return [column.value(row) for row in rows]


def _storable_text(value: Value) -> Value:
    """Return a text; half a character (from undecodable typing) as its escape."""
    if not isinstance(value, str) or value.isascii():
        return value
    return value.encode("utf-8", "backslashreplace").decode()
