"""Which session can be resumed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from callout.core.checklist_run.records import Began, Ended
from callout.core.conversation.records import JournalRecord
from callout.core.drill.records import DrillBegan
from callout.core.flight_run.records import SectorBegan, SectorEnded
from callout.core.sentences import session as sentences
from callout.errors import CalloutError, JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.journal_order import newest_paths
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import in_use
from callout.journal.sector_files import FLIGHTS, flights_newest_first, journal_named


def unfinished_journal(path: Path) -> JournalRead:
    """Return the journal to continue for ``path``: itself, or that of the flight it belongs to.

    Raises CalloutError if that is finished.
    """
    found = read_journal(path)
    found = _flight_of(path, found.records) or found
    if not found.records:
        raise CalloutError(sentences.journal_is_empty(found.path), _ANEW)
    if isinstance(found.records[0], DrillBegan):
        raise CalloutError(sentences.journal_is_a_drill(found.path), _DRILL)
    if not is_unfinished(found.records):
        raise CalloutError(sentences.session_finished(found.path), _ANEW)
    return found


def latest_unfinished(folder: Path, warn: Callable[[str], None]) -> JournalRead:
    """Return the journal of the list or flight interrupted last; raises CalloutError.

    warn: is given one sentence for each journal that cannot be read.
    """
    best: JournalRead | None = None
    for finder in (_list_journals, flights_newest_first):
        for found in finder(folder):
            if isinstance(found, JournalDamaged):
                warn(found.message)
            elif _can_go_on(found):
                best = (
                    found
                    if best is None or _newest_unfinished(found) > _newest_unfinished(best)
                    else best
                )
                break
    if best is None:
        raise CalloutError(sentences.no_unfinished_session(folder), _ANEW)
    return best


_DRILL = sentences.START_A_DRILL
_ANEW = sentences.START_A_SESSION


def _newest_unfinished(found: JournalRead) -> str:
    return found.records[-1].utc.isoformat()


def _can_go_on(found: JournalRead) -> bool:
    """A list of a flight is resumed through its flight; a demonstration is started again."""
    first = found.records[0] if found.records else None
    alone = isinstance(first, SectorBegan) or (
        isinstance(first, Began) and "sector" not in first.about
    )
    own = alone and not is_demonstration(found.records)
    return own and is_unfinished(found.records) and not in_use(found.path)


def is_unfinished(records: tuple[JournalRecord, ...]) -> bool:
    """Say whether a list or flight can be resumed."""
    if not records:
        return False
    if isinstance(records[0], DrillBegan):
        return False  # answers count; the next drill picks again
    return not any(isinstance(record, Ended | SectorEnded) for record in records)


def _list_journals(folder: Path) -> Iterator[JournalRead | JournalDamaged]:
    for path in newest_paths(folder.glob("*.jsonl")):
        try:
            yield read_journal(path)
        except JournalDamaged as error:
            yield error


def _flight_of(path: Path, records: tuple[JournalRecord, ...]) -> JournalRead | None:
    began = records[0] if records else None
    sector = began.about.get("sector") if isinstance(began, Began) else None
    own = journal_named(path.parent / FLIGHTS, sector)
    return read_journal(own) if own else None
