"""People and their facts, one person after another, from folders of journals or from a
collection.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from callout.app.reports.journals import JournalFacts
from callout.app.reports.stored_facts import stored_count, stored_facts, stored_names
from callout.app.reports.trainees import read_trainees
from callout.core.debrief.facts import Facts
from callout.core.sentences import collections
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError

MOST_AT_ONCE: Final = 400_000
"""Maximum number of items in memory at once, some 2 KB each."""
People = Iterable[tuple[str, Facts]]


@contextmanager
def people_of(
    folders: Sequence[Path], collection: Path | None = None, school: str = ""
) -> Iterator[tuple[People, tuple[str, ...]]]:
    """Yield people with their facts, and what could not be read.

    From a collection, one person at a time is in memory. Raises CalloutError if there is nobody.
    """
    if collection is None:
        found = read_trainees(folders)
        yield found.groups.items(), found.problems
        return
    from callout.store.engine import open_for_reading

    with open_for_reading(collection) as connection:
        names = stored_names(connection, school)
        if not names:
            where = f"{collection}, school {school}" if school else str(collection)
            hint = collections.LOAD_FIRST_HINT
            raise CalloutError(sentences.no_sessions_in(where), hint)
        yield ((name, stored_facts(connection, name, school)) for name in names), ()


def collected_facts(collection: Path, person: str | None = None, school: str = "") -> JournalFacts:
    """Return the facts of one person, or of everybody if they are few enough, from a collection.

    Raises CalloutError, with a remedy, if there are too many for memory.
    """
    from callout.store.engine import open_for_reading

    with open_for_reading(collection) as connection:
        wanted = (person or "").casefold()
        names = [n for n in stored_names(connection, school) if wanted in ("", n.casefold())]
        count = stored_count(connection, names, school)
        if count > MOST_AT_ONCE:
            said = sentences.too_many_items(collection, count)
            hint = "Choose one with --person, or a class, or count with: callout query --report"
            raise CalloutError(said, hint)
        found = [stored_facts(connection, name, school) for name in names]
    sessions = sorted((s for f in found for s in f.sessions), key=lambda s: (s.began, s.session_id))
    place = {session.session_id: n for n, session in enumerate(sessions)}
    items = sorted(
        (i for f in found for i in f.items), key=lambda i: (place[i.session_id], i.position)
    )
    flights = tuple(flight for f in found for flight in f.flights)
    return JournalFacts(Facts(tuple(sessions), tuple(items), flights), {})
