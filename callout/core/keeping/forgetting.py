"""Which journals a wish to forget is about."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

_TOGETHER = re.compile(r"[&+/,;]|\b(?:and|with)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """The beginning of a journal, read without regard to its version."""

    name: str
    """Of its file, without the ending; the session's id."""
    begun: datetime | None
    """None: it cannot be read."""
    crew: str = ""
    flight: str = ""
    """Id of the flight it belongs to."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be forgotten: a person, a period, or a person's share of a period."""

    person: str = ""
    since: datetime | None = None
    until: datetime | None = None
    """Not included."""
    shared: bool = False
    """True: sessions flown together with somebody else too."""


@dataclass(frozen=True, slots=True)
class JournalChoice:
    """Names of journals."""

    forget: frozenset[str]
    shared: frozenset[str]
    """Left: the person flew them with somebody else."""


def choose_journals(headings: Iterable[Heading], wish: Wish) -> JournalChoice:
    """Return what ``wish`` is about; a flight and its lists go or stay together."""
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
    """Return the people a crew's name is made of ("Ada & Ben")."""
    return tuple(part.strip() for part in _TOGETHER.split(crew) if part.strip())


def plain_name(name: str) -> str:
    """Return a name without regard to case, spacing and how accents are put together."""
    return unicodedata.normalize("NFC", " ".join(name.split()).casefold())


def name_slug(name: str) -> str:
    """Return a name as it stands in the name of a file or folder; may be empty."""
    return re.sub(r"[\W_]+", "-", plain_name(name)).strip("-")


def may_be(crew: str, person: str) -> bool:
    """Say whether what ``crew`` flew may be ``person``'s; without a name it is anybody's."""
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
