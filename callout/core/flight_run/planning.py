"""The plan of one list within a flight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from callout.core.checklist_run.state import Context, ItemOutcome, Progress, SessionState
from callout.core.flight_run.calls import drill_phrases
from callout.core.flight_run.due import normal_lists
from callout.core.flight_run.facts import flight_now, known_facts, merged_facts, stated_since
from callout.core.flight_run.lapsing import lapsed_run
from callout.core.flight_run.springing import only_memory, recital_context
from callout.core.flight_run.state import ListRun, SectorState
from callout.core.flight_run.wording import due_again
from callout.core.model.checklist import Checklist
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.planning.plan_inputs import Setting
from callout.core.planning.run_plan import Before
from callout.core.planning.stated_quantity import Given
from callout.core.sentences import flight as sentences
from callout.core.understanding.fact_phrases import statement_phrases
from callout.errors import ChecklistInvalid


def begin_plan(state: SectorState, run: ListRun) -> tuple[Plan, Context]:
    """Return the plan of a list for the flight as it is now, and the context of its session.

    Raises ChecklistInvalid for unusable data.
    """
    checklist = state.context.checklist(run.list_id)
    if checklist is None:
        fault = sentences.list_gone(run.list_id)
        raise ChecklistInvalid(fault, sentences.CHECK_FOLDER)
    context = list_context(state, checklist, run)
    plan = _list_setting(state, checklist, run).plan({}, context.tables)
    return (only_memory(plan) if run.sprung else plan), context


def list_context(state: SectorState, checklist: Checklist, run: ListRun) -> Context:
    """Return the context for the session of one run of a list, with the flight as it is now."""
    context, progress = state.context, state.progress
    setting = _list_setting(state, checklist, run)
    phrases = (*statement_phrases(setting.flight, setting.facts()), *drill_phrases(context))

    def elsewhere(before: Progress, after: Progress) -> tuple[str, ...]:
        known = merged_facts(progress, known_facts(before), before.given, progress.at)
        return due_again(context, known, known_facts(after), after.given, checklist.id)

    found = replace(context.session, setting=setting, extra_phrases=phrases, elsewhere=elsewhere)
    return recital_context(found) if run.sprung else found


def _list_setting(state: SectorState, checklist: Checklist, run: ListRun) -> Setting:
    flight = flight_now(state.context, state.progress)
    return Setting(checklist, flight, state.context.crew, _done_before(state, checklist, run))


def renewed_context(
    state: SectorState, run: ListRun, inner: SessionState
) -> tuple[Context, dict[str, bool], tuple[Given, ...]]:
    """Return the updated context of an open list, and what it has not been told yet."""
    checklist = state.context.checklist(run.list_id)
    context = list_context(state, checklist, run) if checklist else inner.context
    return context, *stated_since(state.context, state.progress, inner.progress)


def _done_before(state: SectorState, checklist: Checklist, run: ListRun) -> Before:
    """Return what was done before a run; if it repeats a list because of a change, what still
    holds.
    """
    done, earlier = _done_once(state, checklist), state.progress.run(run.rest_of)
    awaited = dict(_awaited_quantities(state, checklist))
    if earlier is None or earlier.ended is None:
        return Before(done, awaited)
    standing = {one.item_id: one.accepted for one in earlier.settled if one.answered}
    again = {one.item_id for one in lapsed_run(state.context, state.progress, checklist, earlier)}
    kept = {name: when for name, when in done.items() if name not in again}
    note = f"answered at {earlier.ended:%H:%M} UTC, and still valid"
    return Before(kept, awaited, standing, note)


def produced_by(progress: Progress) -> tuple[str, ...]:
    """Return the quantities that a list's answered items made known."""
    return tuple(name for item in _answered_items(progress) for name in item.produces)


def once_answered(progress: Progress) -> tuple[str, ...]:
    """Return the items of a list due only once that were answered."""
    return tuple(item.id for item in _answered_items(progress) if item.once)


def _answered_items(progress: Progress) -> Iterator[PlannedItem]:
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return (item for item, done in pairs if done.outcome is ItemOutcome.ANSWERED)


def _done_once(state: SectorState, checklist: Checklist) -> dict[str, str]:
    """Return what is done of the items due only once: before this flight, and in it."""
    found = dict(state.context.done.get(checklist.id, {}))
    for (list_id, item_id), when in state.progress.done.items():
        if list_id == checklist.id:
            found[item_id] = f"done in this flight at {when:%H:%M} UTC"
    return found


def _awaited_quantities(state: SectorState, checklist: Checklist) -> Iterator[tuple[str, str]]:
    """Yield the quantities that an earlier list should have made known but did not, with that
    list.
    """
    known = {*state.progress.produced, *(given.name for given in state.progress.given)}
    for other in normal_lists(state.context, state.progress):
        if other.id == checklist.id:
            return
        for item in other.items:
            for name in item.produces:
                if name not in known:
                    yield name, f"{item.challenge} in {other.title}"
