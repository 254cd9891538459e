"""People and their facts, from folders of journals or from a collection, one after another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from callout.app.reports.stored_facts import stored_facts, stored_names
from callout.app.reports.trainees import read_trainees
from callout.core.debrief.facts import Facts
from callout.errors import CalloutError

People = Iterable[tuple[str, Facts]]


@contextmanager
def people_of(
    folders: Sequence[Path], collection: Path | None = None, school: str = ""
) -> Iterator[tuple[People, tuple[str, ...]]]:
    """Give people with their facts, and what could not be read.

    From a collection one person at a time is in memory. Raises CalloutError where there is nobody.
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
            hint = "Load journals first: callout collect."
            raise CalloutError(f"There are no sessions in {where}.", hint)
        yield ((name, stored_facts(connection, name, school)) for name in names), ()
