"""All combinations of said and set, on recorded replies and recorded state, in shipped lists.

The recordings go through voice activity, recogniser, judge, session and journal as from a
microphone; the recorded stream through the reader of the state port.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from callout.app.shared.shipped import CHECKLISTS, RECORDINGS, shipped_folder
from callout.core.checklist_run.replay import replay_list
from callout.journal.jsonl_reader import read_journal
from tests.forked import run_callout

pytestmark = pytest.mark.audio

ON, OFF, LEFT = "human/on", "human/off", "human/left"
STALE = 60.0


@dataclass(frozen=True)
class Case:
    """Items of one shipped list that these recordings can answer.

    asked: item, recording, what is set then, age of that state; kept: what the journal must hold.
    """

    aircraft: str
    name: str
    asked: tuple[tuple[str, str, dict[str, Any], float], ...]
    kept: tuple[tuple[str, str, str | None, str], ...]


CASES = [
    Case(
        "tarnbeck-one",
        "before-start",
        (
            ("fuel-selector", LEFT, {"fuel_selector": "left"}, 0.0),
            ("carburettor-heat", OFF, {"carburettor_heat": "cold"}, STALE),
            ("avionics", "demo/on-1", {"avionics": "off"}, 0.0),
            ("avionics", "demo/off-2", {"avionics": "off"}, 0.0),
            ("beacon", ON, {"beacon": "off"}, 0.0),
            ("beacon", "demo/on-2", {"beacon": "on"}, 0.0),
        ),
        (
            ("fuel-selector", "match", None, "set"),
            ("carburettor-heat", "match", None, "unknown"),
            ("avionics", "mismatch", None, "set"),
            ("avionics", "match", None, "set"),
            ("beacon", "mismatch", "match", "not-set"),
            ("beacon", "match", None, "set"),
        ),
    ),
    Case(
        "sandling-two",
        "before-start",
        (
            ("parking-brake", ON, {"parking_brake": True}, 0.0),
            ("fuel-selectors", "demo/both-on", {
                "left_fuel_selector": "on", "right_fuel_selector": "crossfeed",
            }, 0.0),
            ("fuel-selectors", "demo/both-on", {
                "left_fuel_selector": "on", "right_fuel_selector": "on",
            }, 0.0),
            ("avionics", "demo/on-1", {"avionics": "off"}, 0.0),
            ("avionics", "demo/off-2", {"avionics": "off"}, 0.0),
            ("altimeters", "demo/one-zero-one-eight", {"altimeter": 1013}, 0.0),
            ("altimeters", "demo/one-zero-one-eight", {"altimeter": 1018.0}, 0.0),
            ("beacon", "demo/on-2", {}, 0.0),
        ),
        (
            ("parking-brake", "match", None, "set"),
            ("fuel-selectors", "mismatch", "match", "not-set"),
            ("fuel-selectors", "match", None, "set"),
            ("avionics", "mismatch", None, "set"),
            ("avionics", "match", None, "set"),
            ("altimeters", "mismatch", "match", "not-set"),
            ("altimeters", "match", None, "set"),
            ("beacon", "match", None, "unknown"),
        ),
    ),
    Case(
        "halvern-seventy",
        "after-landing",
        (
            ("radar", OFF, {"weather_radar": "off"}, STALE),
            ("auxiliary-power", "demo/off-1", {"auxiliary_power": "on"}, 0.0),
            ("auxiliary-power", ON, {"auxiliary_power": "on"}, 0.0),
            ("strobes", OFF, {"strobe_lights": "on"}, 0.0),
            ("strobes", "demo/off-2", {"strobe_lights": "off"}, 0.0),
        ),
        (
            ("radar", "match", None, "unknown"),
            ("auxiliary-power", "mismatch", None, "set"),
            ("auxiliary-power", "match", None, "set"),
            ("strobes", "mismatch", "match", "not-set"),
            ("strobes", "match", None, "set"),
        ),
    ),
]  # fmt: skip


def _list(case: Case, into: Path) -> Path:
    """Write the list with the items of the case alone, word for word as they are shipped."""
    source = shipped_folder(CHECKLISTS) / case.aircraft / f"{case.name}.yaml"
    told = yaml.load(source.read_text(), Loader=yaml.BaseLoader)
    sections = told.pop("sections", None) or [{"items": told["items"]}]
    wanted = {item_id for item_id, *_ in case.asked}
    told["items"] = [i for section in sections for i in section["items"] if i["id"] in wanted]
    for item in told["items"]:
        item.pop("when", None)
    told.pop("flow", None)
    path = into / f"{case.name}.yaml"
    path.write_text(yaml.safe_dump({**told, "method": "challenge-and-response"}))
    return path


def _state(case: Case, into: Path) -> Path:
    lines: list[dict[str, Any]] = [{"callout": "state recording", "version": 1}]
    hello = {"kind": "hello", "version": 1, "run": "a"}
    lines.append({"asked": case.asked[0][0], "line": json.dumps(hello)})
    tries: Counter[str] = Counter()
    for seq, (item_id, _, values, age) in enumerate(case.asked):
        tries[item_id] += 1
        message = {"kind": "snapshot", "run": "a", "seq": seq, "values": values, "age": age}
        line = json.dumps(message)
        lines.append({"asked": item_id, "try": tries[item_id], "line": line})
    path = into / "state.jsonl"
    path.write_text("\n".join(map(json.dumps, lines)) + "\n")
    return path


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.aircraft)
def test_every_combination_of_said_and_set_leaves_what_it_must(case: Case, tmp_path: Path) -> None:
    journals = tmp_path / "journals"
    command = ["run", str(_list(case, tmp_path))]
    command += ["--flight", str(shipped_folder(CHECKLISTS) / case.aircraft / "flight.yaml")]
    command += ["--state", str(_state(case, tmp_path)), "--journal-dir", str(journals)]
    for _, recording, *_ in case.asked:
        command += ["--replies", str(shipped_folder(RECORDINGS) / f"{recording}.wav")]
    done = run_callout([*command, "--engine", "embedded", "--plain", "--silent"])
    assert done.returncode == 0, done.stderr
    (path,) = journals.glob("*.jsonl")
    kept = [json.loads(line) for line in path.read_text().splitlines()]
    replied = tuple(
        (r["item_id"], r["verdict"], r.get("said"), r["standing"])
        for r in kept
        if r["type"] == "replied"
    )
    assert replied == case.kept
    assert kept[-1]["type"] == "ended"
    assert kept[-1]["ending"] == "completed"
    told = replay_list(read_journal(path).records)
    assert sum(i.not_set for i in told.items) == sum(k[3] == "not-set" for k in case.kept)
    assert done.stdout.count("You said") >= 1
    assert "By speech alone" in done.stdout
