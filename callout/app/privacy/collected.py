"""Removes people from every collection and report, wherever it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from callout.app.privacy.leftover_search import search_leftovers
from callout.core.keeping.forgetting import Heading, Wish, choose_journals
from callout.errors import CalloutError
from callout.store.made import Made, collections_made, is_deleted, reports_made
from callout.store.rebuilding import find_mentions, sessions_kept, take_out


@dataclass(frozen=True, slots=True)
class CollectedShare:
    """What is to be removed from one collection."""

    database: Path
    parquet: Path | None
    sessions: tuple[str, ...]
    """Sessions and flights."""
    problem: str = ""
    """Why it cannot be examined; empty: it can."""


def shares_in(
    listed: Path, wish: Wish, forgotten: Iterable[str], leave_out: Iterable[Path]
) -> tuple[CollectedShare, ...]:
    """Return what the listed collections contain of a wish; those with nothing are left out.

    forgotten: sessions known from journals. leave_out: files that are removed whole.
    """
    gone, ids = {path.resolve() for path in leave_out}, frozenset(forgotten)
    made = (one for one in collections_made(listed) if Path(one.database) not in gone)
    found = (_share_of(one, wish, ids) for one in made)
    return tuple(share for share in found if share and (share.sessions or share.problem))


def written_anew(listed: Path) -> tuple[Path, ...]:
    """Return the collections that have Parquet files, and the folders of these: others may read
    them, so they are written anew instead of being removed.
    """
    made = (one for one in collections_made(listed) if one.parquet and Path(one.parquet).is_dir())
    return tuple(
        Path(place) for one in made for place in (one.database, f"{one.database}.wal", one.parquet)
    )


def reports_about(listed: Path, wish: Wish, sessions: Iterable[str]) -> list[Path]:
    """Return the listed reports that mention what is forgotten; each can be made again."""
    person = "" if wish.since or wish.until else wish.person
    ids = list(sessions)
    if not person and not ids:
        return []
    found = search_leftovers(reports_made(listed), person, ids, ())
    return list(dict.fromkeys(trace.path for trace in found.traces))


def _share_of(made: Made, wish: Wish, ids: frozenset[str]) -> CollectedShare | None:
    database = Path(made.database)
    parquet = Path(made.parquet) if made.parquet else None
    if not database.exists():
        if parquet and parquet.is_dir():
            why = f"its database {database} is gone: remove these Parquet files yourself"
            return CollectedShare(parquet, None, (), why)
        if is_deleted(made):
            return None
        why = "it is not there now: connect its disk, then forget again"
        return CollectedShare(database, None, (), why)
    try:
        headings = [
            Heading(name, _aware(began), person, flight)
            for name, began, person, flight in sessions_kept(database)
        ]
    except CalloutError as error:
        return CollectedShare(database, parquet, (), error.message.rstrip("."))
    known = {heading.name for heading in headings}
    chosen = choose_journals(headings, wish).forget | (ids & known)
    return CollectedShare(database, parquet, tuple(sorted(chosen)))


def _aware(moment: object) -> datetime | None:
    return moment.replace(tzinfo=UTC) if isinstance(moment, datetime) else None


def take_share_out(share: CollectedShare, person: str) -> str:
    """Remove a share and search the new files; return what is left, or empty."""
    if share.problem:
        return share.problem
    try:
        take_out(share.database, share.parquet, share.sessions)
        places = [share.database, *([share.parquet] if share.parquet else [])]
        left = [said for place in places for said in find_mentions(place, person, share.sessions)]
    except CalloutError as error:
        return error.message.rstrip(".")
    return "; ".join(left)
