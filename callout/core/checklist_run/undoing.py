"""What a change of facts or figures undoes: answers that no longer hold, with the reason."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.planning.basis import Basis, changed_names
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.understanding.fact_phrases import name_of

_SETTLED = (ItemOutcome.ANSWERED, ItemOutcome.SKIPPED, ItemOutcome.LEFT_OPEN)
OTHERWISE = "it expects something else now"


@dataclass(frozen=True, slots=True)
class Undone:
    """One item that must be asked again."""

    item_id: str
    challenge: str
    because: str


def undone_items(
    progress: Progress, plan: Plan, flight: Flight = EMPTY_FLIGHT
) -> tuple[Undone, ...]:
    """Return which settled items ``plan`` asks again; ``flight`` names the quantities.

    They are the items that expect a different reply, those that had dropped out and are due again,
    and each critical one that depends on anything that changed.
    """
    return tuple(_find_undone(progress, plan, flight))


def same_plan(one: Plan, other: Plan) -> bool:
    """Say whether two plans ask the same under the same facts and figures.

    A plan stored by an earlier version names none; then only the questions count.
    """
    if None not in (one.basis, other.basis) and one.basis != other.basis:
        return False
    return one.flow == other.flow and [*map(_what_is_asked, one.items)] == [
        *map(_what_is_asked, other.items)
    ]


def why_undone(
    names: frozenset[str], item: PlannedItem, basis: Basis | None, flight: Flight = EMPTY_FLIGHT
) -> str:
    """Return the change that affects ``item``: "altimeter setting: 1020 hPa"."""
    own = [name for name in item.hangs_on if name in names] if basis else []
    return ", ".join(filter(None, (now_words(name, basis, flight) for name in own))) or OTHERWISE


def _find_undone(progress: Progress, plan: Plan, flight: Flight) -> Iterator[Undone]:
    changed = changed_names(progress.plan.basis, plan.basis)
    pairs = zip(progress.plan.items, progress.items, strict=True)
    before = {planned.id: (planned, done) for planned, done in pairs}
    for item in plan.items:
        was = before.get(item.id)
        if was and item.applicable and _must_again(*was, item, changed):
            yield Undone(item.id, item.challenge, why_undone(changed, item, plan.basis, flight))


def _must_again(
    was: PlannedItem, done: ItemProgress, now: PlannedItem, changed: frozenset[str]
) -> bool:
    half_done = done.open and done.accepted > 0
    if done.outcome not in _SETTLED and not half_done:
        return False
    other = not was.applicable or was.expectation.accepted != now.expectation.accepted
    return other or (now.critical and not changed.isdisjoint(now.hangs_on))


def _what_is_asked(item: PlannedItem) -> tuple[object, ...]:
    expected = item.expectation
    wrong = expected.wrong
    return (item.id, item.applicable, item.missing, item.replies, expected.accepted, wrong)


def now_words(name: str, basis: Basis | None, flight: Flight) -> str:
    """Return a fact or figure and its present value; empty if unknown."""
    if basis is None:
        return ""
    if name in basis.facts:
        state = {True: "yes", False: "no", None: "not known"}[basis.facts[name]]
        return f"{name_of(name)}: {state}"
    declared = flight.quantities.get(name)
    label = declared.spoken_name if declared else name_of(name)
    return f"{label}: {basis.figures[name]}" if basis.figures.get(name) else ""
