"""Makes the recorded stream of the demonstration from the simulated aircraft."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from callout.app.running.simulated import TURN_S, after_order, load_aircraft
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.core.state.messages import VERSION
from callout.core.state.simulated import after_time, reported_values
from callout.state.recording import recording_head

_BETWEEN_S = 2
"""Seconds that pass in the aircraft before each entry: a gauge follows its switch."""
_RUN = "demonstration"


def recorded_stream() -> tuple[str, str]:
    """Return the list whose items it waits for ("sandling-two/before-start"), and its text."""
    text = (files("callout") / "data" / "demo.yaml").read_text(encoding="utf-8")
    told_of: dict[str, Any] = yaml.safe_load(text)
    name = str(told_of["list"]).removesuffix(".yaml")
    return name, recording_head() + "".join(_entries(name.partition("/")[0], told_of["orders"]))


def write_stream(into: Path) -> None:
    """Write it below ``into``, where a session finds it by the name of its list."""
    name, text = recorded_stream()
    path = into / "state" / f"{name}.jsonl"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _entries(folder: str, orders: list[list[Any]]) -> Iterator[str]:
    aircraft = load_aircraft(shipped_folder(CHECKLISTS) / folder)
    hello = {"kind": "hello", "version": VERSION, "run": _RUN, "name": "simulated"}
    yield _entry(orders[0][0], orders[0][1], hello)
    for seq, (item_id, attempt, *given) in enumerate(orders):
        for order in given:
            aircraft = after_order(aircraft, order)
        for _ in range(round(_BETWEEN_S / TURN_S)):
            aircraft = after_time(aircraft, Decimal(str(TURN_S)))
        place = {"kind": "snapshot", "run": _RUN, "seq": seq, "time": seq * _BETWEEN_S}
        yield _entry(item_id, attempt, {**place, "values": reported_values(aircraft)})


def _entry(item_id: str, attempt: int, message: dict[str, Any]) -> str:
    return json.dumps({"asked": item_id, "try": attempt, "line": json.dumps(message)}) + "\n"
