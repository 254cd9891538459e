"""The shipped aircraft are complete, agree with their tables, and run from end to end."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from itertools import pairwise, takewhile
from pathlib import Path

import pytest

from callout.app.shared.checklist_files import (
    load_checklist,
    load_flight,
    load_overlay,
    with_overlay,
)
from callout.app.shared.tables import default_tables
from callout.core.flight_run.due import in_flight_order
from callout.core.judging.judge import judge_reply
from callout.core.model.checklist import Checklist, Method, Phase, Role
from callout.core.model.conditions import condition_applies
from callout.core.model.flight import Flight
from callout.core.model.verdict import Verdict
from callout.core.planning.quantities import computed_amount, text_of
from callout.core.planning.resolve import expectation_for
from callout.core.planning.run_plan import plan_for
from callout.errors import ChecklistInvalid

SHIPPED = Path(__file__).parents[3] / "checklists"
AIRCRAFT = sorted(path.parent for path in SHIPPED.glob("*/flight.yaml"))
ids = [folder.name for folder in AIRCRAFT]
each = pytest.mark.parametrize("folder", AIRCRAFT, ids=ids)

DRILLS = {
    "engine-fire-on-the-ground",
    "electrical-failure",
    "rejected-takeoff",
    "engine-failure-after-takeoff",
}


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
    assert phases >= set(Phase)
    assert set(lists(folder)) >= DRILLS


SET_UPS = [{}, {"turnaround": True}, {"powered": True}]


@each
@pytest.mark.parametrize("facts", SET_UPS, ids=["first flight", "turnaround", "taking over"])
def test_the_lists_form_one_flight(folder: Path, facts: dict[str, bool]) -> None:
    now = flight(folder)
    for name, state in facts.items():
        now = now.with_fact(name, state)
    usual = [c for c in in_flight_order(tuple(lists(folder).values())) if not c.any_time]
    chain = [c for c in usual if condition_applies(c.when, now)]
    for before, after in pairwise(chain):
        assert before.id in after.follows
    assert all(c.when for c in usual if c not in chain)


@each
def test_there_is_a_list_for_what_does_not_come_every_time(folder: Path) -> None:
    assert {"walk-round", "go-around", "turnaround", "taking-over"} <= set(lists(folder))
    heights = {"thousand-to-go", "transition", "minimums"} & set(lists(folder))
    assert heights >= {"thousand-to-go"}
    assert all(lists(folder)[name].due for name in heights | {"go-around"})


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


def printed(folder: Path, by: str) -> list[dict[str, Decimal]]:
    """Return the rows of a printed table, by the column's name."""
    text = (folder / "performance.md").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.startswith("|")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    at = next(n for n, row in enumerate(cells) if row[0] == by)
    body = takewhile(lambda row: row[0].endswith("kg"), cells[at + 2 :])
    number = re.compile(r"\d+(?:\.\d+)?")
    return [
        dict(zip(cells[at], (Decimal(number.findall(c)[0]) for c in row), strict=True))
        for row in body
    ]


def rows(folder: Path) -> list[dict[str, Decimal]]:
    """Return the rows of the printed table of take-off masses."""
    return printed(folder, "take-off mass")


@each
def test_the_flight_holds_the_printed_tables(folder: Path) -> None:
    labels = {"take-off safety speed": "safety speed", "take-off thrust": "thrust, 15 °C"}
    quantities = flight(folder).quantities
    for table in flight(folder).look_ups:
        names = {n: quantities[n].label for n in (table.by, *table.units)}
        held = [
            {names[n]: number for n, number in {table.by: at, **row}.items()}
            for at, row in table.rows
        ]
        named = [{labels.get(n, n): number for n, number in row.items()} for row in held]
        assert named == printed(folder, quantities[table.by].label)
    assert len(flight(folder).look_ups) == 2


@each
def test_speeds_follow_the_mass(folder: Path) -> None:
    for row in rows(folder):
        now = flight(folder).with_quantity("takeoff_mass", row["take-off mass"])
        assert computed_amount("rotate_speed", now, default_tables())[0] == row["rotation speed"]
    light = flight(folder).with_quantity("takeoff_mass", Decimal(100))
    with pytest.raises(ChecklistInvalid, match="the table has"):
        computed_amount("rotate_speed", light, default_tables())


def test_the_fuller_tank_of_the_trainer_follows_the_gauges() -> None:
    trainer = flight(SHIPPED / "tarnbeck-one")
    assert text_of("fuller_tank", trainer, default_tables()) == "left"
    emptied = trainer.with_quantity("fuel_left", Decimal(30))
    assert text_of("fuller_tank", emptied, default_tables()) == "right"
    assert text_of("emptier_tank", emptied, default_tables()) == "left"


@each
def test_everything_listed_as_right_or_wrong_is_judged_so(folder: Path) -> None:
    for checklist in lists(folder).values():
        for item in checklist.items:
            wanted = expectation_for(checklist, item, flight(folder), default_tables())
            for answer in wanted.accepted:
                found = judge_reply(answer.text, wanted, default_tables())
                assert found.verdict is Verdict.MATCH, (checklist.id, item.id, answer.text)
            for wrong in wanted.wrong:
                found = judge_reply(wrong.answer.text, wanted, default_tables())
                assert found.verdict is not Verdict.MATCH, (checklist.id, item.id)


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
