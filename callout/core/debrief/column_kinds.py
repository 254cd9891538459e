"""What a column of a table is, and what its rows are made from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum
from functools import lru_cache
from typing import Generic, TypeVar

from callout.core.debrief.facts import ItemFact, ReplyFact

T = TypeVar("T")
_KEPT = 1024  # a session's time comes in each of its rows
Value = str | int | float | bool | datetime | None


class ColumnKind(Enum):
    """Types of columns, by their SQL names."""

    TEXT = "VARCHAR"
    WHOLE = "INTEGER"
    NUMBER = "DOUBLE"
    FLAG = "BOOLEAN"
    MOMENT = "TIMESTAMP"


TEXT, WHOLE, NUMBER, FLAG, MOMENT = ColumnKind


@dataclass(frozen=True, slots=True)
class Column(Generic[T]):
    """One column, and how to get it from a fact."""

    name: str
    kind: ColumnKind
    about: str
    value: Callable[[T], Value]
    shared: str = ""
    """Column of ``sessions`` with the same value; empty: it is the row's own."""


@dataclass(frozen=True, slots=True)
class InItem:
    """A reply to an item."""

    item: ItemFact
    number: int
    """From 1."""
    reply: ReplyFact


@lru_cache(maxsize=_KEPT)
def naive_utc(moment: datetime) -> datetime:
    """Return ``moment`` in UTC without a zone, as databases keep it."""
    return moment.astimezone(UTC).replace(tzinfo=None)


@lru_cache(maxsize=_KEPT)
def month_of(moment: datetime) -> str:
    """Return "2031-05", in UTC."""
    return f"{naive_utc(moment):%Y-%m}"
