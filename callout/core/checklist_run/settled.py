"""What a finished list leaves settled, and what a later change undoes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.checklist_run.undoing import Undone, why_undone
from callout.core.model.flight import Flight
from callout.core.planning.basis import Basis, changed_names
from callout.core.planning.plan import Plan, PlannedItem


@dataclass(frozen=True, slots=True)
class Settled:
    """One item of a finished list, and what it expected at the time."""

    item_id: str
    accepted: tuple[str, ...]
    """The replies that were right then."""
    answered: bool = True
    """False: left out on purpose, or left open."""


def settled_in(progress: Progress) -> tuple[Settled, ...]:
    """Return the items that ``progress`` leaves settled, without those that did not apply."""
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return tuple(
        Settled(planned.id, planned.accepted_texts, done.outcome in _DONE)
        for planned, done in pairs
        if done.outcome is not ItemOutcome.NOT_APPLICABLE or planned.done
    )


_DONE = (ItemOutcome.ANSWERED, ItemOutcome.NOT_APPLICABLE)
"""Of the items that did not apply, only those already done count as settled."""


def lapsed_from(
    settled: Iterable[Settled], basis: Basis, plan: Plan, flight: Flight
) -> tuple[Undone, ...]:
    """Return the items of ``plan`` that must be done, if a list was finished under ``basis``.

    plan: as it would be with nothing done before.
    """
    changed = changed_names(basis, plan.basis)
    before = {one.item_id: one for one in settled}
    due = _items_due(before, plan, changed)
    return tuple(Undone(i.id, i.challenge, why_undone(changed, i, plan.basis, flight)) for i in due)


def _items_due(
    before: dict[str, Settled], plan: Plan, changed: frozenset[str]
) -> Iterator[PlannedItem]:
    for item in plan.items:
        was = before.get(item.id)
        other = was is None or was.accepted != item.accepted_texts
        critical = item.critical and not changed.isdisjoint(item.hangs_on)
        if item.applicable and (other or critical):
            yield item
