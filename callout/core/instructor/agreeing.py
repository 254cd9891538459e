"""What an instructor notes and agrees with trainees, and which of it is still open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from typing import Any

from callout.core.debrief.rates import Rate
from callout.core.keeping.forgetting import Wish, plain_name


class EntryKind(Enum):
    """What an entry is."""

    NOTE = "note"
    ACTION = "action"
    SETTLED = "settled"
    """An action is done, or no longer wanted."""
    STANDARD = "standard"


class EntryInvalid(ValueError):
    """A line that is not an entry; the text says why."""


@dataclass(frozen=True, slots=True)
class Standard:
    """What must be reached over the latest sessions."""

    percent: float
    """Maximum percentage of items with a deviation."""
    critical: int = 0
    """Maximum number of deviations at critical items."""
    sessions: int = 20
    """How many of the latest sessions count."""


@dataclass(frozen=True, slots=True)
class ClassEntry:
    """One entry; entries are only added, never changed."""

    number: int
    utc: datetime
    by: str
    kind: EntryKind
    trainee: str = ""
    """Empty: the whole class."""
    text: str = ""
    due: date | None = None
    settles: int = 0
    """Number of the action that is settled."""
    standard: Standard | None = None


class Reached(Enum):
    """How the latest sessions compare with the standard."""

    NONE = "no standard chosen"
    FEW = "too few sessions to tell"
    SURELY = "reached"
    SEEN = "reached so far, not yet sure"
    UNCLEAR = "not reached so far, not yet sure"
    MISSED = "not reached"


def standard_reached(
    standard: Standard | None, recent: Rate, critical: int, sessions: int
) -> Reached:
    """Return how a person compares; certain only if the whole interval is on one side.

    recent: over the latest sessions that count; critical: deviations at critical items in them.
    """
    if standard is None:
        return Reached.NONE
    if sessions < standard.sessions:
        return Reached.FEW
    low, high = (100 * bound for bound in recent.interval)
    if critical > standard.critical or low > standard.percent:
        return Reached.MISSED
    if high <= standard.percent:
        return Reached.SURELY
    return Reached.SEEN if 100 * recent.share <= standard.percent else Reached.UNCLEAR


def open_actions(entries: Sequence[ClassEntry]) -> tuple[ClassEntry, ...]:
    """Return actions agreed but not settled, most urgent first."""
    settled = {entry.settles for entry in entries if entry.kind is EntryKind.SETTLED}
    left = (e for e in entries if e.kind is EntryKind.ACTION and e.number not in settled)
    return tuple(sorted(left, key=lambda e: (e.due or date.max, e.number)))


def standard_in(entries: Iterable[ClassEntry]) -> Standard | None:
    """Return the standard chosen last."""
    chosen = [entry.standard for entry in entries if entry.standard]
    return chosen[-1] if chosen else None


def entries_about(entries: Iterable[ClassEntry], trainee: str) -> Iterator[ClassEntry]:
    """Yield the entries about one trainee."""
    wanted = plain_name(trainee)
    yield from (entry for entry in entries if plain_name(entry.trainee) == wanted)


def entry_belongs(entry: ClassEntry, wish: Wish) -> bool:
    """Say whether a wish to forget covers an entry."""
    within = (wish.since is None or entry.utc >= wish.since) and (
        wish.until is None or entry.utc < wish.until
    )
    named = {plain_name(name) for name in (entry.trainee, entry.by)}
    return within and (not wish.person or plain_name(wish.person) in named)


def entry_to_plain(entry: ClassEntry) -> dict[str, Any]:
    """Return an entry as JSON-ready values; empty ones are left out."""
    standard = entry.standard
    fields = {
        "schema": 1,
        "number": entry.number,
        "utc": entry.utc.isoformat(),
        "by": entry.by,
        "kind": entry.kind.value,
        "trainee": entry.trainee,
        "text": entry.text,
        "due": entry.due.isoformat() if entry.due else "",
        "settles": entry.settles,
        "standard": standard
        and {
            "percent": standard.percent,
            "critical": standard.critical,
            "sessions": standard.sessions,
        },
    }
    return {name: value for name, value in fields.items() if value not in ("", 0, None)}


def entry_from_plain(fields: Mapping[str, Any]) -> ClassEntry:
    """Return the entry that ``fields`` describe; raises EntryInvalid."""
    if fields.get("schema") != 1:
        raise EntryInvalid("it was written by another version of the program")
    try:
        utc = datetime.fromisoformat(fields["utc"])
        due, told = fields.get("due"), fields.get("standard")
        if utc.tzinfo is None:
            raise EntryInvalid("its time has no zone")
        return ClassEntry(
            int(fields["number"]),
            utc,
            str(fields["by"]),
            EntryKind(fields["kind"]),
            str(fields.get("trainee", "")),
            str(fields.get("text", "")),
            date.fromisoformat(due) if due else None,
            int(fields.get("settles", 0)),
            Standard(float(told["percent"]), int(told.get("critical", 0)), int(told["sessions"]))
            if told
            else None,
        )
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise EntryInvalid("its fields do not fit an entry") from error
