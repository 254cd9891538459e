"""What a flight knows: its data with everything stated since, in any list or between lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from callout.core.checklist_run.state import Progress
from callout.core.flight_run.state import SectorContext, SectorProgress
from callout.core.model.flight import Flight
from callout.core.planning.basis import basis_now, changed_names
from callout.core.planning.stated_quantity import Given, with_given

_NEVER = float("-inf")


def flight_now(context: SectorContext, progress: SectorProgress) -> Flight:
    """Return the flight's data with everything stated since it began."""
    flight = with_given(context.flight, progress.given)
    for name, state in progress.facts.items():
        flight = flight.with_fact(name, state)
    return flight


def merged_facts(
    progress: SectorProgress, facts: Mapping[str, bool], given: Iterable[Given], at: float
) -> SectorProgress:
    """Return the progress with more facts and figures, known from session time ``at``."""
    new = {one.name: one for one in given}
    kept = tuple(one for one in progress.given if one.name not in new)
    return replace(
        progress,
        facts={**progress.facts, **facts},
        given=(*kept, *new.values()),
        known_at={**progress.known_at, **dict.fromkeys((*facts, *new), at)},
    )


def known_facts(inner: Progress) -> dict[str, bool]:
    """Return the facts stated during a list, without those left unknown."""
    return {name: state for name, state in inner.facts.items() if state is not None}


def stated_since(
    context: SectorContext, progress: SectorProgress, inner: Progress
) -> tuple[dict[str, bool], tuple[Given, ...]]:
    """Return what the flight has learned since an open or set-aside list was last up to date."""
    basis = inner.plan.basis
    now = basis_now(basis, flight_now(context, progress)) if basis else None
    own = {**inner.facts, **{one.name: one for one in inner.given}}
    differing = {*changed_names(basis, now), *own}
    newer = {
        name
        for name in differing
        if progress.known_at.get(name, _NEVER) > inner.known_at.get(name, _NEVER)
    }
    facts = {n: s for n, s in progress.facts.items() if n in newer and inner.facts.get(n) is not s}
    given = (one for one in progress.given if one.name in newer and one not in inner.given)
    return facts, tuple(given)
