"""What can be drilled: the items of lists, as in the last plan of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from callout.core.planning.plan import Plan, PlannedItem


@dataclass(frozen=True, slots=True, order=True)
class ItemKey:
    """Identifies an item permanently: the same on every machine."""

    aircraft: str
    list_id: str
    item_id: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One item to practise, and its place in its list."""

    key: ItemKey
    item: PlannedItem
    plan: Plan
    place: int
    """Index among the items of the list that apply."""

    @property
    def before(self) -> PlannedItem | None:
        """The previous item; None for the first."""
        return items_applying(self.plan)[self.place - 1] if self.place else None


@dataclass(frozen=True, slots=True)
class Page:
    """One list of one aircraft."""

    aircraft: str
    plan: Plan


def items_applying(plan: Plan) -> tuple[PlannedItem, ...]:
    """Return the items of a list that apply and can be answered."""
    asked = (i for i in plan.items if i.applicable and not i.leads)
    return tuple(i for i in asked if i.expectation.accepted)


def entries_of(pages: Iterable[Page]) -> Iterator[Entry]:
    """Yield the items of some lists, each list's in order."""
    for page in pages:
        for place, item in enumerate(items_applying(page.plan)):
            key = ItemKey(page.aircraft, page.plan.list_id, item.id)
            yield Entry(key, item, page.plan, place)
