"""Completed lists that a change of facts or figures makes due again."""

from __future__ import annotations

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.settled import lapsed_from
from callout.core.checklist_run.undoing import OTHERWISE, Undone
from callout.core.flight_run.facts import flight_now
from callout.core.flight_run.state import ListRun, SectorContext, SectorProgress
from callout.core.model.checklist import Checklist, Phase
from callout.core.planning.basis import basis_now, changed_names
from callout.core.planning.run_plan import plan_for
from callout.errors import CalloutError

_LEGS = (Phase.CLIMB, Phase.AFTER_LANDING)
"""The phases that begin the flight and the time after landing: nothing is repeated across them."""


def complete_now(context: SectorContext, progress: SectorProgress, list_id: str) -> bool:
    """Say whether a list was completed and all of it still holds."""
    if not progress.completed(list_id):
        return False
    checklist = context.checklist(list_id)
    return checklist is None or not lapsed_items(context, progress, checklist)


def lapsed_items(
    context: SectorContext, progress: SectorProgress, checklist: Checklist
) -> tuple[Undone, ...]:
    """Return the items of a completed list that are due again; none if all of it holds.

    A list for the ground stays as it was once the aircraft has flown, and a list for any time is
    never due.
    """
    run = progress.last_run(checklist.id)
    ended = run is not None and run.ending is Ending.COMPLETED
    if run is None or not ended or checklist.any_time or _is_past(context, progress, checklist):
        return ()
    return lapsed_run(context, progress, checklist, run)


def lapsed_run(
    context: SectorContext, progress: SectorProgress, checklist: Checklist, run: ListRun
) -> tuple[Undone, ...]:
    """Return what one run of a list left settled that no longer holds."""
    flight = flight_now(context, progress)
    basis = run.basis
    if basis is None or not changed_names(basis, basis_now(basis, flight)):
        return ()
    try:
        plan = plan_for(checklist, flight, context.session.tables, crew=context.crew)
    except CalloutError:
        return (Undone("", checklist.title, OTHERWISE),)
    return lapsed_from(run.settled, basis, plan, flight)


def due_again_after(context: SectorContext, progress: SectorProgress, checklist: Checklist) -> str:
    """Return the completed run of a list that is due again; empty if there is none."""
    run = progress.last_run(checklist.id)
    return run.session_id if run and lapsed_items(context, progress, checklist) else ""


def all_lapsed(context: SectorContext, progress: SectorProgress) -> dict[str, tuple[Undone, ...]]:
    """Return the completed lists that are due again, each with its items."""
    found = {c.id: lapsed_items(context, progress, c) for c in context.lists}
    return {list_id: items for list_id, items in found.items() if items}


def _is_past(context: SectorContext, progress: SectorProgress, checklist: Checklist) -> bool:
    begun = (context.checklist(run.list_id) for run in progress.runs)
    reached = max((_flight_leg(c.phase) for c in begun if c and not c.any_time), default=0)
    return _flight_leg(checklist.phase) < reached


def _flight_leg(phase: Phase) -> int:
    """Return 0 before flight, 1 in it, 2 after it."""
    return sum(phase.order >= first.order for first in _LEGS)
