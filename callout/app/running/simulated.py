"""The simulated aircraft: reads the shipped files, runs on its own, and reports to the state
port.
"""

from __future__ import annotations

import json
import queue
import threading
import time
from collections.abc import Callable, Iterable
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.core.model.shapes import did_you_mean
from callout.core.model.state_quantity import StateQuantity
from callout.core.sentences import session as sentences
from callout.core.state.board import Shown
from callout.core.state.simulated import (
    Gauge,
    SimulatedAircraft,
    after_time,
    cold_aircraft,
    reported_values,
    with_failure,
    with_moved,
    with_repair,
)
from callout.errors import CalloutError
from callout.state.bridge import Bridge

TURN_S = 0.05
"""Time step of the simulation, in seconds."""


def load_aircraft(folder: Path) -> SimulatedAircraft:
    """Return the aircraft of a folder at its start; raises CalloutError if there is none."""
    declared = load_flight(folder / FLIGHT_FILE).state
    shipped = files("callout") / "data" / "aircraft" / f"{folder.name}.yaml"
    if not declared or not shipped.is_file():
        said = sentences.no_simulated_aircraft(folder)
        hint = sentences.SIMULATED_AIRCRAFT
        raise CalloutError(said, hint)
    raw: dict[str, Any] = yaml.load(shipped.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    start = {name: _shown(text, declared[name]) for name, text in raw["start"].items()}
    gauges = tuple(_gauge(entry, declared) for entry in raw["gauges"])
    steps = {name: Decimal(text) for name, text in raw["steps"].items()}
    return cold_aircraft(declared, start, gauges, steps)


def _gauge(entry: dict[str, str], declared: dict[str, StateQuantity] | Any) -> Gauge:
    rate = Decimal(entry["rate"]) if "rate" in entry else None
    return Gauge(entry["state"], entry["when"], _shown(entry["is"], declared[entry["state"]]), rate)


def _shown(text: str, declared: StateQuantity) -> Shown:
    return Decimal(text) if declared.number else text


def after_order(aircraft: SimulatedAircraft, order: str) -> SimulatedAircraft:
    """Return it after "beacon on", "fail battery", "mend battery"; raises CalloutError."""
    verb, _, rest = order.strip().partition(" ")
    name, to = (rest.strip(), "") if verb in ("fail", "mend") else (verb, rest.strip())
    declared = aircraft.declared.get(name)
    if declared is None:
        hint = did_you_mean(name, aircraft.declared) or sentences.its_parts(
            ", ".join(aircraft.declared)
        )
        raise CalloutError(sentences.no_such_part(name), hint)
    if verb == "fail":
        return with_failure(aircraft, name)
    if verb == "mend":
        return with_repair(aircraft, name)
    try:
        return with_moved(aircraft, name, _shown(to, declared))
    except ArithmeticError as error:
        raise CalloutError(f'"{to}" is no number.', "Write for example: altimeter 1018") from error


def run_aircraft(
    aircraft: SimulatedAircraft,
    port: int,
    orders: Iterable[str],
    refuse: Callable[[CalloutError], None],
    *,
    wait: bool,
) -> None:
    """Run it until ``orders`` end, or forever if ``wait`` is true."""
    taken: queue.SimpleQueue[str | None] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(orders, taken), daemon=True).start()
    bridge, ended = Bridge(port), False
    while not ended or wait:
        time.sleep(TURN_S)
        while not taken.empty():
            order = taken.get()
            if order is None:
                ended = True
                continue
            try:
                aircraft = after_order(aircraft, order)
            except CalloutError as error:
                refuse(error)
        aircraft = after_time(aircraft, Decimal(str(TURN_S)))
        bridge.tell(reported_values(aircraft))
    bridge.close()


def _read(orders: Iterable[str], taken: queue.SimpleQueue[str | None]) -> None:
    for line in orders:
        if line.strip():
            taken.put(line)
    taken.put(None)


def shapes_of(aircraft: SimulatedAircraft) -> str:
    """Return what a panel must know about it, as JSON."""
    return json.dumps(
        [
            {
                "name": name,
                "label": q.spoken_name,
                "panel": q.panel or "Other",
                "positions": list(q.positions),
                "unit": q.unit or "",
                "step": str(aircraft.steps.get(name, 1)),
                "gauge": name in aircraft.by_itself,
            }
            for name, q in aircraft.declared.items()
        ]
    )
