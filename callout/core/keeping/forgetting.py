"""Selects the journals that a wish to forget covers."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

_TOGETHER = re.compile(r"[&+/,;]|\b(?:and|with)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """The beginning of a journal, read whatever its version."""

    name: str
    """Name of its file without the ending; the session's id."""
    begun: datetime | None
    """None: unreadable."""
    crew: str = ""
    flight: str = ""
    """Id of the flight it belongs to."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What to forget: a person, a period, or a person's share of a period."""

    person: str = ""
    since: datetime | None = None
    until: datetime | None = None
    """Exclusive."""
    shared: bool = False
    """True: also sessions flown together with somebody else."""


@dataclass(frozen=True, slots=True)
class JournalChoice:
    """Names of journals."""

    forget: frozenset[str]
    shared: frozenset[str]
    """Kept: the person flew them with somebody else."""


def choose_journals(headings: Iterable[Heading], wish: Wish) -> JournalChoice:
    """Return the journals that ``wish`` covers; a flight and its lists go or stay together."""
    known = {heading.name: heading for heading in headings}
    forget: set[str] = set()
    shared: set[str] = set()
    for name, heading in known.items():
        flight = known.get(heading.flight, heading)
        crew = flight.crew or heading.crew
        if not _within_days(flight.begun, wish):
            continue
        if not wish.person or _same_person(crew, wish.person):
            forget.add(name)
        elif any(_same_person(one, wish.person) for one in crew_members(crew)):
            (forget if wish.shared else shared).add(name)
    return JournalChoice(frozenset(forget), frozenset(shared))


def crew_members(crew: str) -> tuple[str, ...]:
    """Return the people that a crew's name consists of ("Ada & Ben")."""
    return tuple(part.strip() for part in _TOGETHER.split(crew) if part.strip())


def plain_name(name: str) -> str:
    """Return a name without case, extra spacing and differences in how accents are encoded."""
    return unicodedata.normalize("NFC", " ".join(name.split()).casefold())


def name_slug(name: str) -> str:
    """Return a name as used in file and folder names; may be empty."""
    return re.sub(r"[\W_]+", "-", plain_name(name)).strip("-")


def may_be(crew: str, person: str) -> bool:
    """Say whether sessions of ``crew`` may be ``person``'s; without a name they may be
    anybody's.
    """
    return not person or not crew or plain_name(crew) == plain_name(person)


def _same_person(one: str, other: str) -> bool:
    return bool(one.strip()) and plain_name(one) == plain_name(other)


def _within_days(begun: datetime | None, wish: Wish) -> bool:
    if wish.since is None and wish.until is None:
        return True
    if begun is None:
        return False
    after = wish.since is None or begun >= wish.since
    return after and (wish.until is None or begun < wish.until)
