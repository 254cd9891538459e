"""Turns a checklist and a flight into the plan of one run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from callout.core.language.tables import Tables
from callout.core.model.checklist import Checklist, Item, Role
from callout.core.model.conditions import condition_applies
from callout.core.model.expectation import Expectation
from callout.core.model.flight import Flight
from callout.core.planning.basis import basis_of, hangs_on
from callout.core.planning.plan import Plan, PlannedItem, Wait
from callout.core.planning.plan_parts import (
    NOT_FITTED,
    is_lacking,
    planned_panel,
    why_of,
    with_ways,
)
from callout.core.planning.proofs import planned_proof
from callout.core.planning.quantities import ValueMissing
from callout.core.planning.resolve import expectation_for, missing_quantities
from callout.core.sentences import planning as sentences

NOTHING = Expectation(accepted=())


@dataclass(frozen=True, slots=True)
class Before:
    """What happened before this run of a list."""

    done: Mapping[str, str] = field(default_factory=dict)
    """Items due only once that are done, by id, with "done today at 06:40"."""
    awaited: Mapping[str, str] = field(default_factory=dict)
    """Quantities that another list of the flight still has to make known, with that list."""
    standing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Items answered in an earlier run, by id, with what was right then."""
    standing_note: str = ""
    """When that was, in words."""


NOTHING_BEFORE = Before()


def plan_for(
    checklist: Checklist,
    flight: Flight,
    tables: Tables,
    *,
    crew: int = 1,
    before: Before = NOTHING_BEFORE,
) -> Plan:
    """Return what is asked on this flight; raises ChecklistInvalid for unusable data.

    crew: with 2, both seats answer the items that say so; with 1, one reply is enough. Items and
    controls that the flight's simulator lacks are left out.
    """
    lacks = flight.lacks

    def planned(section: str, item: Item) -> PlannedItem:
        fresh = _planned_item(section, item, checklist, flight, tables, crew)
        fitted = item.leads or not any(is_lacking(n, lacks) for n in (item.challenge, item.spoken))
        if not fitted and fresh.applicable:
            return replace(fresh, applicable=False, why_not=NOT_FITTED, missing=())
        return _with_past(fresh, item, checklist, flight, before)

    sections = [(s.title, item) for s in checklist.sections for item in s.items]
    items = tuple(planned(title, item) for title, item in sections)
    return Plan(
        list_id=checklist.id,
        title=checklist.title,
        items=with_ways(items, checklist, flight, tables),
        completion_call=checklist.completion_call,
        method=checklist.method,
        flow=tuple(planned_panel(panel, flight, tables, lacks) for panel in checklist.flow),
        ends=checklist.ends,
        cautions=checklist.cautions,
        notes=checklist.notes,
        phase=checklist.phase,
        basis=basis_of(checklist, flight),
    )


def _planned_item(
    section: str, item: Item, checklist: Checklist, flight: Flight, tables: Tables, crew: int
) -> PlannedItem:
    due = condition_applies(item.when, flight)
    missing = tuple(_quantity_source(name, flight) for name in missing_quantities(item, flight))
    expected = NOTHING
    if due is not False:
        expected, missing = _item_expectation(checklist, item, flight, tables, missing)
    condition = item.when.text.replace("_", " ") if item.when else ""
    unstated = sentences.ASKED_AS_UNKNOWN(condition) if item.when else ""
    return PlannedItem(
        id=item.id,
        challenge=item.challenge,
        spoken=item.spoken,
        expectation=expected,
        section=section,
        role=item.responder,
        critical=item.critical,
        replies=2 if item.responder is Role.BOTH and crew > 1 and not item.leads else 1,
        applicable=due is not False,
        why_not=f"only when {condition}" if due is False else "",
        missing=missing if due is not False else (),
        cautions=item.cautions,
        notes=(*item.notes, *((unstated,) if due is None else ())),
        panel=item.panel,
        hangs_on=hangs_on(item, flight),
        why=why_of(item),
        memory=item.memory,
        names=item.names,
        proof=None if due is False else planned_proof(item.proof, flight, tables),
    )


def _with_past(
    planned: PlannedItem, item: Item, checklist: Checklist, flight: Flight, before: Before
) -> PlannedItem:
    """Drop an item due only once that is done; say what an item must wait for."""
    if not planned.applicable:
        return planned
    if item.once and (done := before.done.get(item.id)):
        return _left_out(replace(planned, once=item.once), done)
    if not planned.critical and planned.expectation.accepted and _still_stands(planned, before):
        return _left_out(replace(planned, once=item.once), before.standing_note)
    elsewhere = (n for n in item.needs if n in before.awaited)
    awaited = tuple(f"{_quantity_name(n, flight)} (from {before.awaited[n]})" for n in elsewhere)
    return replace(
        planned,
        missing=(*planned.missing, *awaited),
        waits=_item_waits(item, checklist, flight),
        once=item.once,
        produces=item.produces,
    )


def _still_stands(planned: PlannedItem, before: Before) -> bool:
    """Say whether an item was answered in an earlier run and the same reply is right now."""
    return before.standing.get(planned.id) == planned.accepted_texts


def _left_out(planned: PlannedItem, done: str) -> PlannedItem:
    return replace(planned, applicable=False, why_not=done, done=done, missing=())


def _item_waits(item: Item, checklist: Checklist, flight: Flight) -> tuple[Wait, ...]:
    """Return the items of the same list that make known what ``item`` needs."""
    usual = (i for i in checklist.items if condition_applies(i.when, flight) is not False)
    producers = [(name, other) for other in usual for name in other.produces]
    return tuple(
        Wait(_quantity_name(name, flight), other.id, other.challenge)
        for name, other in producers
        if name in item.needs and other.id != item.id
    )


def _quantity_name(quantity: str, flight: Flight) -> str:
    known = flight.quantities.get(quantity)
    return known.spoken_name if known else quantity.replace("_", " ")


def _item_expectation(
    checklist: Checklist, item: Item, flight: Flight, tables: Tables, missing: tuple[str, ...]
) -> tuple[Expectation, tuple[str, ...]]:
    if missing:
        return NOTHING, missing
    try:
        return expectation_for(checklist, item, flight, tables), ()
    except ValueMissing as error:
        return NOTHING, tuple(_quantity_source(name, flight) for name in error.names)


def _quantity_source(name: str, flight: Flight) -> str:
    known = flight.quantities.get(name)
    if known is None:
        return name.replace("_", " ")
    return f"{known.spoken_name} (from {known.source})" if known.source else known.spoken_name
