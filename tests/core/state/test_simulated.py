"""The simulated aircraft: the same every time, and every shipped list can be set up in it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from callout.app.running.simulated import after_order, load_aircraft
from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.model.checklist import Checklist
from callout.core.model.conditions import condition_applies
from callout.core.planning.proofs import planned_proof
from callout.core.state.board import Board
from callout.core.state.proving import Standing, found_about
from callout.core.state.simulated import SimulatedAircraft, after_time, reported_values
from callout.core.state.stream import value_of
from callout.errors import CalloutError

AIRCRAFT = ["halvern-seventy", "sandling-two", "tarnbeck-one"]


def after(name: str, *orders: str, seconds: int = 20) -> SimulatedAircraft:
    made = load_aircraft(shipped_folder(CHECKLISTS) / name)
    for order in orders:
        made = after_order(made, order)
    for _ in range(seconds * 10):
        made = after_time(made, Decimal("0.1"))
    return made


@pytest.mark.parametrize("name", AIRCRAFT)
def test_what_it_tells_is_what_the_flight_file_declares(name: str) -> None:
    made = after(name)
    for quantity, value in reported_values(made).items():
        assert value_of(value, made.declared[quantity]) is not None, quantity
    assert after(name) == made, "it is the same every time"


def test_flaps_follow_the_lever_only_with_power() -> None:
    assert after("sandling-two", "flap_lever 25").values["flap_angle"] == 25
    dark = ("battery off", "left_alternator off", "right_alternator off")
    slow = after("sandling-two", *dark, seconds=5)
    assert slow.values["bus_volts"] == 0
    assert slow.values["flap_angle"] == after("sandling-two", *dark, seconds=9).values["flap_angle"]


def test_a_failure_on_command_and_its_end() -> None:
    stuck = after("tarnbeck-one", "fail beacon", "beacon on")
    assert stuck.values["beacon"] == "off"
    assert after("tarnbeck-one", "fail beacon", "mend beacon", "beacon on").values["beacon"] == "on"
    assert after("tarnbeck-one", "fail bus_volts").values["bus_volts"] == 0
    assert after("tarnbeck-one", "fail bus_volts").values["flap_angle"] == 0


def test_auxiliary_power_runs_up_and_gives_the_cabin_its_air() -> None:
    off = after("halvern-seventy", "left_master cut-off", "right_master cut-off")
    assert (off.values["cabin_air"], off.values["hydraulic_gauge"]) == ("off", 0)
    on = after("halvern-seventy", "left_master cut-off", "auxiliary_power on")
    assert on.values["apu_speed"] == 100
    assert on.values["cabin_air"] == "on"


@pytest.mark.parametrize("order", ["", "wing on", "fail wing", "altimeter x"])
def test_an_order_that_means_nothing_is_one_sentence(order: str) -> None:
    with pytest.raises(CalloutError):
        after_order(load_aircraft(shipped_folder(CHECKLISTS) / "sandling-two"), order)


@pytest.mark.parametrize("name", AIRCRAFT)
def test_every_proof_of_the_shipped_lists_can_be_met_and_missed(name: str) -> None:
    """Some position of its controls proves each item, and another does not."""
    folder = shipped_folder(CHECKLISTS) / name
    flight, declared = load_flight(folder / FLIGHT_FILE), load_flight(folder / FLIGHT_FILE).state
    proved = 0
    for path in yaml_files(folder, 5):
        content = read_any(path).content
        for item in content.items if isinstance(content, Checklist) else ():
            proof = planned_proof(item.proof, flight, default_tables())
            if proof is None or condition_applies(item.when, flight) is False:
                continue
            proved += 1
            reply = item.responses[0].text
            standings = set()
            for place in range(20):
                values = {}
                for quantity in proof.watched:
                    ways = declared[quantity].positions
                    figures = [f.number for f in proof.figures.values()] or [Decimal(1013)]
                    values[quantity] = ways[place % len(ways)] if ways else figures[0] + place
                standings.add(found_about(proof, Board(values, 0.0), 0.0, reply).standing)
            assert standings == {Standing.SET, Standing.NOT_SET}, (path, item.id)
    assert proved > 40
