"""Parts of a plan that need no judging: where questions lead, flows, and parts that are not
fitted.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from callout.core.language.tables import Tables
from callout.core.model.checklist import Checklist, FlowAction, FlowPanel, Item
from callout.core.model.conditions import condition_applies
from callout.core.model.flight import Flight
from callout.core.model.list_routes import END, NEXT, end_named, routes_of
from callout.core.planning.consistency import plain_text
from callout.core.planning.plan import PlannedControl, PlannedItem, PlannedLead, PlannedPanel
from callout.core.planning.proofs import planned_proof
from callout.core.planning.quantities import ValueMissing
from callout.core.planning.resolve import answer_for

NOT_FITTED = "not in this simulator"


def with_ways(
    planned: tuple[PlannedItem, ...], checklist: Checklist, flight: Flight, tables: Tables
) -> tuple[PlannedItem, ...]:
    """Return items with their successor, if that is not simply the next item."""
    if not any(item.leads for item in checklist.items) and not checklist.ends:
        return planned
    routes = routes_of(checklist)
    targets = {name: end_named(name) for name in checklist.ends}
    targets |= {s.id: s.items[0].id for s in checklist.sections if s.id}
    after = [*(item.id for item in planned[1:]), END]
    found = []
    for item, source, following in zip(planned, checklist.items, after, strict=True):
        usual = routes[item.id][0] if not source.leads else following
        leads = _planned_leads(source, {**targets, NEXT: following}, flight, tables)
        found.append(replace(item, leads=leads, then="" if usual == following else usual))
    return tuple(found)


def _planned_leads(
    item: Item, targets: Mapping[str, str], flight: Flight, tables: Tables
) -> tuple[PlannedLead, ...]:
    try:
        return tuple(
            PlannedLead(
                tuple(answer_for(response, item, flight, tables) for response in lead.responses),
                targets[lead.to],
            )
            for lead in item.leads
        )
    except ValueMissing:  # the item itself says what is missing
        return ()


def planned_panel(
    panel: FlowPanel, flight: Flight, tables: Tables, lacks: Collection[str] = ()
) -> PlannedPanel:
    """Return one flow stop as it is on this flight, without controls that are not fitted."""
    due = [a for a in panel.actions if condition_applies(a.when, flight) is not False]
    fitted = [a for a in due if not is_lacking(a.control, lacks)]
    return PlannedPanel(
        panel.panel,
        tuple(f"{a.control}: {a.position}" for a in fitted if a.exception),
        tuple(_planned_control(a, flight, tables) for a in fitted),
        tuple(a.control for a in due if a not in fitted),
        flight.places.get(panel.panel),
    )


def _planned_control(action: FlowAction, flight: Flight, tables: Tables) -> PlannedControl:
    proof = planned_proof(action.proof, flight, tables)
    return PlannedControl(action.control, action.position, action.exception, action.why, proof)


def is_lacking(name: str, lacks: Collection[str]) -> bool:
    """Say whether ``name`` is one of the parts that are not fitted; whole names only."""
    return plain_text(name) in {plain_text(part) for part in lacks}


def why_of(item: Item) -> str:
    """Return why an item is done: its own reason, or that of its first wrong reply."""
    because = (wrong.because for wrong in item.wrong if wrong.because)
    return item.why or next(because, "")
