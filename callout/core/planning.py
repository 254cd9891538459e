"""From a checklist and a flight to the plan of one run."""

from __future__ import annotations

from callout.core.checklist import Checklist, FlowPanel, Item, Role
from callout.core.conditions import applies
from callout.core.expectation import Expectation
from callout.core.flight import Flight
from callout.core.judging.tables import Tables
from callout.core.plan import Plan, PlannedItem, PlannedPanel
from callout.core.quantities import ValueMissing
from callout.core.resolve import expectation_for, missing_quantities

NOTHING = Expectation(accepted=())


def plan_for(checklist: Checklist, flight: Flight, tables: Tables, *, crew: int = 1) -> Plan:
    """Return what is asked on this flight; raises ChecklistInvalid for data that cannot be used.

    crew: 2 has both seats answer the items that say so; alone, one reply must do.
    """
    sections = [(s.title, item) for s in checklist.sections for item in s.items]
    return Plan(
        list_id=checklist.id,
        title=checklist.title,
        items=tuple(_item(title, i, checklist, flight, tables, crew) for title, i in sections),
        completion_call=checklist.completion_call,
        method=checklist.method,
        flow=tuple(_panel(panel, flight) for panel in checklist.flow),
        cautions=checklist.cautions,
        notes=checklist.notes,
    )


def _item(
    section: str, item: Item, checklist: Checklist, flight: Flight, tables: Tables, crew: int
) -> PlannedItem:
    due = applies(item.when, flight)
    missing = tuple(_source(name, flight) for name in missing_quantities(item, flight))
    expected = NOTHING
    if due is not False:
        expected, missing = _expected(checklist, item, flight, tables, missing)
    condition = item.when.text.replace("_", " ") if item.when else ""
    unstated = f"Asked because nobody has said whether: {condition}." if item.when else ""
    return PlannedItem(
        id=item.id,
        challenge=item.challenge,
        spoken=item.spoken,
        expectation=expected,
        section=section,
        role=item.responder,
        critical=item.critical,
        replies=2 if item.responder is Role.BOTH and crew > 1 else 1,
        applicable=due is not False,
        why_not=condition if due is False else "",
        missing=missing if due is not False else (),
        cautions=item.cautions,
        notes=(*item.notes, *((unstated,) if due is None else ())),
        panel=item.panel,
    )


def _expected(
    checklist: Checklist, item: Item, flight: Flight, tables: Tables, missing: tuple[str, ...]
) -> tuple[Expectation, tuple[str, ...]]:
    if missing:
        return NOTHING, missing
    try:
        return expectation_for(checklist, item, flight, tables), ()
    except ValueMissing as error:
        return NOTHING, tuple(_source(name, flight) for name in error.names)


def _source(name: str, flight: Flight) -> str:
    known = flight.quantities.get(name)
    if known is None:
        return name.replace("_", " ")
    return f"{known.spoken_name} (from {known.source})" if known.source else known.spoken_name


def _panel(panel: FlowPanel, flight: Flight) -> PlannedPanel:
    due = [a for a in panel.actions if a.exception and applies(a.when, flight) is not False]
    return PlannedPanel(panel.panel, tuple(f"{a.control}: {a.position}" for a in due))
