"""Which list is due, and which should have been completed before another."""

from __future__ import annotations

from callout.core.flight_run.facts import flight_now
from callout.core.flight_run.lapsing import complete_now
from callout.core.flight_run.state import SectorContext, SectorProgress
from callout.core.model.checklist import Checklist
from callout.core.model.conditions import condition_applies


def in_flight_order(lists: tuple[Checklist, ...]) -> tuple[Checklist, ...]:
    """Sort lists by phase, then by what each follows, then by title; abnormal drills come last."""
    by_id = {found.id: found for found in lists}

    def depth(checklist: Checklist, seen: frozenset[str]) -> int:
        before = [by_id[i] for i in checklist.follows if i in by_id and i not in seen]
        return max((1 + depth(b, seen | {b.id}) for b in before), default=0)

    def place(checklist: Checklist) -> tuple[int, int, str]:
        return checklist.phase.order, depth(checklist, frozenset({checklist.id})), checklist.title

    return tuple(sorted(lists, key=place))


def normal_lists(context: SectorContext, progress: SectorProgress) -> tuple[Checklist, ...]:
    """Return the lists of this flight in order, without those for any time and those that do not
    apply.
    """
    flight = flight_now(context, progress)
    usual = [c for c in context.lists if not c.any_time]
    start = next((n for n, c in enumerate(usual) if c.id == progress.first), 0)
    return tuple(c for c in usual[start:] if condition_applies(c.when, flight) is not False)


def lists_on_call(context: SectorContext) -> tuple[Checklist, ...]:
    """Return the lists that may be called at any time: abnormal and on-call lists."""
    return tuple(c for c in context.lists if c.any_time)


def next_due(context: SectorContext, progress: SectorProgress) -> Checklist | None:
    """Return the next list: the first uncompleted one after the last completed one."""
    lists = normal_lists(context, progress)
    last = max(
        (n for n, c in enumerate(lists) if complete_now(context, progress, c.id)), default=-1
    )
    return next((c for c in lists[last + 1 :]), None)


def overdue_lists(context: SectorContext, progress: SectorProgress) -> tuple[Checklist, ...]:
    """Return the lists passed over: not completed, although a later one is."""
    lists = normal_lists(context, progress)
    last = max(
        (n for n, c in enumerate(lists) if complete_now(context, progress, c.id)), default=-1
    )
    return tuple(c for c in lists[: last + 1] if not complete_now(context, progress, c.id))


def not_completed(context: SectorContext, progress: SectorProgress) -> tuple[Checklist, ...]:
    """Return every list of this flight that was not completed."""
    return tuple(
        c for c in normal_lists(context, progress) if not complete_now(context, progress, c.id)
    )


def missing_before(
    context: SectorContext, progress: SectorProgress, checklist: Checklist
) -> tuple[Checklist, ...]:
    """Return the lists that should have been completed before ``checklist`` and were not."""
    due_here = {c.id: c for c in normal_lists(context, progress)}
    found: set[str] = set()
    waiting = list(checklist.follows)
    seen: set[str] = set()
    while waiting:
        list_id = waiting.pop()
        known = context.checklist(list_id)
        if known is None or list_id in seen:
            continue
        seen.add(list_id)
        if complete_now(context, progress, list_id):
            continue
        if list_id in due_here and list_id != checklist.id:
            found.add(list_id)
        waiting += known.follows
    return tuple(c for c in context.lists if c.id in found)
