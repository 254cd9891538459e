"""The plan of one list within a flight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from callout.core.checklist import Checklist
from callout.core.plan import Plan, PlannedItem
from callout.core.planning import Before
from callout.core.sector.due import flight_now, normal_lists
from callout.core.sector.state import SectorState
from callout.core.set_up import statement_phrases
from callout.core.setting import Setting
from callout.core.state import Context, Outcome, Progress
from callout.errors import ChecklistInvalid


def begin_plan(state: SectorState, list_id: str, extra: tuple[str, ...]) -> tuple[Plan, Context]:
    """Return the plan of a list as the flight stands, and what its session works with.

    extra: what else is listened for while it is open. Raises ChecklistInvalid for data that
    cannot be used.
    """
    checklist = state.context.checklist(list_id)
    if checklist is None:
        raise ChecklistInvalid(f'There is no list "{list_id}" any more.', "Look into the folder.")
    context = list_context(state, checklist, extra)
    assert context.setting
    return context.setting.plan({}, context.tables), context


def list_context(state: SectorState, checklist: Checklist, extra: tuple[str, ...]) -> Context:
    """Return what the session of one list works with, as the flight stands now."""
    context, progress = state.context, state.progress
    flight = flight_now(context, progress)
    before = Before(done=_done(state, checklist), awaited=dict(_awaited(state, checklist)))
    setting = Setting(checklist, flight, context.crew, before)
    phrases = (*statement_phrases(flight, setting.facts()), *extra)
    return replace(context.session, setting=setting, extra_phrases=phrases)


def produced_by(progress: Progress) -> tuple[str, ...]:
    """Return the quantities that the answered items of a list made known."""
    return tuple(name for item in _answered(progress) for name in item.produces)


def once_answered(progress: Progress) -> tuple[str, ...]:
    """Return the items of a list due only once that were answered."""
    return tuple(item.id for item in _answered(progress) if item.once)


def _answered(progress: Progress) -> Iterator[PlannedItem]:
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return (item for item, done in pairs if done.outcome is Outcome.ANSWERED)


def _done(state: SectorState, checklist: Checklist) -> dict[str, str]:
    """Return what was done of the items due only once: before this flight, and in it."""
    found = dict(state.context.done.get(checklist.id, {}))
    for (list_id, item_id), when in state.progress.done.items():
        if list_id == checklist.id:
            found[item_id] = f"done in this flight at {when:%H:%M} UTC"
    return found


def _awaited(state: SectorState, checklist: Checklist) -> Iterator[tuple[str, str]]:
    """Yield the quantities that an earlier list should have made known and did not, with where."""
    known = {*state.progress.produced, *(given.name for given in state.progress.given)}
    for other in normal_lists(state.context, state.progress):
        if other.id == checklist.id:
            return
        for item in other.items:
            for name in item.produces:
                if name not in known:
                    yield name, f"{item.challenge} in {other.title}"
