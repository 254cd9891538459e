"""Turns rows of a collection back into facts, one person at a time, so that memory stays
bounded.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import Facts, FlightFact, ItemFact, ReplyFact, SessionFact
from callout.core.model.checklist import Role
from callout.core.model.verdict import Verdict

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_FLAGS = {
    "omitted": Deviation.OMITTED,
    "wrong": Deviation.MISMATCHED,
    "not_set": Deviation.NOT_SET,
    "too_fast": Deviation.TOO_FAST,
    "out_of_order": Deviation.OUT_OF_SEQUENCE,
}
_SESSION_FIELDS = (
    "session_id", "person", "school", "aircraft", "operator", "list_id", "title", "phase",
    "method", "flight", "drill", "hearing", "minutes", "items", "first_time", "skipped",
    "deferred", "mismatches", "unclear", "fast", "slow", "out_of_order", "holds",
    "hold_seconds", "resumes", "flow_seconds",
)  # fmt: skip
_ITEM_FIELDS = (
    "session_id", "person", "aircraft", "list_id", "phase", "item_id", "position", "challenge",
    "section", "critical", "asked", "tries", "mismatches", "unclear", "deferred", "skipped",
    "skip_reason", "passed_over", "slow", "reply_seconds", "total_seconds", "first_time", "reply",
)  # fmt: skip
Rows = Iterator[dict[str, Any]]


def stored_names(connection: DuckDBPyConnection, school: str = "") -> list[str]:
    """Return the people with sessions in the collection, in order of name."""
    asked = (
        "SELECT DISTINCT person FROM sessions WHERE $1 = '' OR school = $1 ORDER BY lower(person)"
    )
    return [str(row[0]) for row in connection.execute(asked, [school]).fetchall()]


def stored_count(connection: DuckDBPyConnection, names: Sequence[str], school: str = "") -> int:
    """Return how many items these people have."""
    chosen = "list_contains($1::VARCHAR[], person) AND ($2 = '' OR school = $2)"
    asked = f"SELECT count(*) FROM items WHERE {chosen}"
    found = connection.execute(asked, [list(names), school]).fetchone()
    return int(found[0]) if found else 0


def stored_facts(connection: DuckDBPyConnection, person: str, school: str = "") -> Facts:
    """Return the facts of one person; data that only a debrief needs are not in a collection."""
    chosen = "WHERE person = $1 AND ($2 = '' OR school = $2)"
    wanted = [person, school]
    replies: dict[tuple[str, str], list[ReplyFact]] = defaultdict(list)
    heard = (
        "SELECT replies.* FROM replies SEMI JOIN (SELECT session_id FROM sessions "
        f"{chosen}) USING (session_id) ORDER BY number"
    )
    for row in _rows(connection, heard, wanted):
        replies[row["session_id"], row["item_id"]].append(_reply(row))
    order = "ORDER BY began, session_id"
    sessions = [_session(r) for r in _rows(connection, f"FROM sessions {chosen} {order}", wanted)]
    items = (
        _item(row, tuple(replies.get((row["session_id"], row["item_id"]), ())))
        for row in _rows(connection, f"FROM items {chosen} {order}, position", wanted)
    )
    flights = (_flight(r) for r in _rows(connection, f"FROM flights {chosen} ORDER BY 2", wanted))
    return Facts(tuple(sessions), tuple(items), tuple(flights))


def _rows(connection: DuckDBPyConnection, sql: str, values: Sequence[str]) -> Rows:
    result = connection.execute(sql, list(values))
    names = [column[0] for column in result.description or ()]
    while rows := result.fetchmany(2000):
        yield from (dict(zip(names, row, strict=True)) for row in rows)


def _utc(moment: datetime) -> datetime:
    return moment.replace(tzinfo=UTC)


def _session(row: dict[str, Any]) -> SessionFact:
    ending = Ending(row["ending"]) if row["ending"] else None
    whole = [(Deviation.INCOMPLETE, ending is not Ending.COMPLETED),
             (Deviation.WRONG_TIME, row["wrong_time"])]  # fmt: skip
    return SessionFact(
        began=_utc(row["began"]),
        ended=_utc(row["ended"]),
        ending=ending,
        deviations=tuple(kind for kind, on in whole if on),
        **{name: row[name] for name in _SESSION_FIELDS},
    )


def _item(row: dict[str, Any], heard: tuple[ReplyFact, ...]) -> ItemFact:
    return ItemFact(
        began=_utc(row["began"]),
        title=row["list_title"],
        role=Role(row["role"]),
        outcome=ItemOutcome(row["outcome"]) if row["outcome"] else None,
        not_set=int(row["not_set"]),
        out_of_order=row["out_of_order"],
        fast=row["too_fast"],
        heard=heard,
        deviations=tuple(kind for name, kind in _FLAGS.items() if row[name]),
        **{name: row[name] for name in _ITEM_FIELDS},
    )


def _reply(row: dict[str, Any]) -> ReplyFact:
    return ReplyFact(
        at=row["at_seconds"],
        text=row["words"],
        transcript=row["transcript"],
        verdict=Verdict(row["verdict"]),
        code=row["code"],
        reason=row["reason"],
        seconds=row["seconds"],
        source=row["source"],
        sure=row["sure"],
        seat=row["seat"],
    )


def _flight(row: dict[str, Any]) -> FlightFact:
    began = _utc(row["began"])
    return FlightFact(
        flight=row["flight"],
        began=began,
        ended=began,
        person=row["person"],
        school=row["school"],
        aircraft=row["aircraft"],
        operator=row["operator"],
        title=row["title"],
        finished=row["finished"],
        never_started=("",) * row["never_started"],
    )
