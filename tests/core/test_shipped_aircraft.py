"""The shipped aircraft are complete, agree with their tables, and run from end to end."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from callout.app.checklist_files import load_checklist, load_flight, load_overlay, with_overlay
from callout.app.tables import default_tables
from callout.core.checklist import Checklist, Method, Phase, Role
from callout.core.flight import Flight
from callout.core.planning import plan_for

SHIPPED = Path(__file__).parents[2] / "checklists"
AIRCRAFT = sorted(path.parent for path in SHIPPED.glob("*/flight.yaml"))
ids = [folder.name for folder in AIRCRAFT]
each = pytest.mark.parametrize("folder", AIRCRAFT, ids=ids)

DRILLS = {"engine-fire-on-the-ground", "electrical-failure", "rejected-takeoff"}


@cache
def lists(folder: Path) -> dict[str, Checklist]:
    paths = [path for path in folder.glob("*.yaml") if path.name != "flight.yaml"]
    return {c.id: c for c in map(load_checklist, paths)}


@cache
def flight(folder: Path) -> Flight:
    return load_flight(folder / "flight.yaml")


def test_there_are_three() -> None:
    assert len(AIRCRAFT) == 3


@each
def test_every_phase_from_power_up_to_securing_has_a_list(folder: Path) -> None:
    phases = {c.phase for c in lists(folder).values()}
    assert phases >= set(Phase) - {Phase.PREFLIGHT}, "pistons do it within the preparation"
    assert set(lists(folder)) >= DRILLS


@each
def test_the_lists_form_one_flight(folder: Path) -> None:
    normal = {i: c for i, c in lists(folder).items() if c.phase is not Phase.NON_NORMAL}
    chain = [next(i for i, c in normal.items() if not c.follows)]
    while following := [i for i, c in normal.items() if chain[-1] in c.follows]:
        assert len(following) == 1
        chain += following
    assert len(chain) == len(normal)
    orders = [normal[i].phase.order for i in chain]
    assert orders == sorted(orders)


@each
def test_each_list_says_what_it_is_for_and_defers_to_the_manual(folder: Path) -> None:
    for checklist in lists(folder).values():
        cautions = " ".join(checklist.cautions)
        assert "approved manual" in cautions, checklist.id
    assert "invented" in flight(folder).aircraft
    assert "(invented)" in flight(folder).operator


@each
def test_flows_rest_roles_conditions_and_memory_items_are_used(folder: Path) -> None:
    every = lists(folder).values()
    actions = [a for c in every for panel in c.flow for a in panel.actions]
    assert sum(c.method is Method.FLOW_THEN_VERIFY for c in every) >= 3
    assert any(a.rest and not a.exception for a in actions)
    assert any(a.exception for a in actions)
    items = [item for c in every for item in c.items]
    assert {Role.BOTH, Role.LEFT_SEAT, Role.PILOT_FLYING} <= {i.responder for i in items}
    assert any(item.when for item in items)
    drills = [c for c in every if c.phase is Phase.NON_NORMAL]
    assert any(item.memory for c in drills for item in c.items)
    for drill in drills:
        memory = [item.memory for item in drill.items]
        assert memory == sorted(memory, reverse=True), "what is done from memory comes first"


def test_most_controls_of_the_jet_rest_in_a_normal_position() -> None:
    jet = next(folder for folder in AIRCRAFT if folder.name == "halvern-seventy")
    overhead = next(p for p in lists(jet)["preflight"].flow if p.panel == "Overhead panel")
    resting = [action for action in overhead.actions if not action.exception]
    assert len(resting) >= 13
    assert 1 <= len(overhead.actions) - len(resting) <= 2


@each
def test_every_list_can_be_worked_on_the_shipped_flight(folder: Path) -> None:
    for checklist in lists(folder).values():
        plan = plan_for(checklist, flight(folder), default_tables())
        assert any(item.applicable for item in plan.items)
        assert not [item.id for item in plan.items if item.missing]


@each
def test_overlays_keep_every_item(folder: Path) -> None:
    overlays = [load_overlay(path) for path in (folder / "overlays").glob("*.yaml")]
    assert overlays
    for overlay in overlays:
        base = lists(folder)[overlay.base]
        merged = with_overlay(base, overlay)
        assert {i.id for i in base.items} <= {i.id for i in merged.items}


def rows(folder: Path) -> list[dict[str, Decimal]]:
    """Return the rows of the table of masses, by the column's name."""
    text = (folder / "performance.md").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.startswith("|")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    heads = next(row for row in cells if row[0] == "take-off mass")
    number = re.compile(r"\d+(?:\.\d+)?")
    masses = [row for row in cells if re.fullmatch(r"\d+ kg", row[0])]
    return [
        dict(zip(heads, (Decimal(number.findall(c)[0]) for c in row), strict=True))
        for row in masses
    ]


@each
def test_the_flight_agrees_with_its_performance_table(folder: Path) -> None:
    table = rows(folder)
    quantities = flight(folder).quantities
    mass = quantities["takeoff_mass"].number
    row = next(row for row in table if row["take-off mass"] == mass)
    named = {q.label: q.number for q in quantities.values()}
    named["safety speed"] = named.get("take-off safety speed")
    compared = [name for name in row if named.get(name) is not None]
    assert len(compared) >= 4
    assert all(named[name] == row[name] for name in compared)


@each
def test_heavier_is_never_slower(folder: Path) -> None:
    """Stall speed, and every speed built on it, grows with the root of the mass (FAA PHAK)."""
    table = rows(folder)
    for name in table[0]:
        values = [row[name] for row in table]
        assert values == sorted(values)
        assert len(set(values)) == len(values)


def test_speeds_of_the_jet_are_in_order() -> None:
    """14 CFR 25.107: decision speed is not above rotation speed, which is below safety speed."""
    jet = next(folder for folder in AIRCRAFT if folder.name == "halvern-seventy")
    for row in rows(jet):
        assert row["decision speed"] <= row["rotation speed"] < row["safety speed"]


@each
def test_fuel_on_board_is_the_sum_of_the_tanks(folder: Path) -> None:
    quantities = flight(folder).quantities
    assert quantities["fuel_total"].expression == "fuel_left + fuel_right"
