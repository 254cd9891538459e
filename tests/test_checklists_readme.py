"""The format page: its examples can be used, and it names every key there is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from callout.app.shared.checklist_files import FileKind, kind_of
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import FLIGHT, flight_from
from callout.core.formats.overlay_merge import merge_overlay
from callout.core.formats.overlay_schema import KINDS, OVERLAY, overlay_from
from callout.core.formats.schema import ACTION, CHECKLIST, PANEL, SECTION, checklist_from
from callout.core.formats.schema_items import ITEM, RESPONSE, WRONG
from callout.core.model.checklist import Checklist, Method, Once, Phase, Role
from callout.core.model.expectation import ValueKind
from callout.core.model.flight import Flight
from callout.core.model.located import from_plain, to_plain
from callout.core.model.state_quantity import Proof
from callout.core.planning.proofs import planned_proof
from callout.core.planning.resolve import expectation_for
from callout.core.state.board import Board
from callout.core.state.proving import Standing, found_about

FOLDER = Path(__file__).parents[1] / "checklists"
PAGE = (FOLDER / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
HEAD: Mapping[str, Any] = {
    "callout": 1,
    "id": "example",
    "title": "Example",
    "phase": "taxi",
    "method": "read-and-do",
    "complete": "example complete",
}


def flight() -> Flight:
    return flight_from(parse_yaml(EXAMPLES[8], "README.md"), "README.md")


def checklist_of(text: str) -> Checklist:
    node = parse_yaml(text, "README.md")
    if text.startswith("- id"):
        node = from_plain({**HEAD, "items": to_plain(node)})
    return checklist_from(node, "README.md")


def test_there_are_twelve_examples() -> None:
    assert len(EXAMPLES) == len(re.findall(r"^### \d+\. ", PAGE, re.MULTILINE)) == 12


def test_the_example_state_can_prove_something() -> None:
    told = flight_from(parse_yaml(EXAMPLES[11], "README.md"), "README.md")
    proof = planned_proof(Proof("altimeter == qnh and flap_lever == 10"), told, default_tables())
    values: dict[str, str | Decimal] = {"altimeter": Decimal("1018"), "flap_lever": "10"}
    assert found_about(proof, Board(values, 0.0), 1.0).standing is Standing.SET
    assert found_about(proof, Board({**values, "flap_lever": "up"}, 0.0), 1.0).told == (
        "the flap lever is up"
    )


@pytest.mark.parametrize("text", [*EXAMPLES[:8], EXAMPLES[10]])
def test_lists_can_be_worked_with_the_example_flight(text: str) -> None:
    checklist = checklist_of(text)
    for item in checklist.items:
        assert expectation_for(checklist, item, flight(), default_tables()).accepted


def test_the_example_flight_and_overlay() -> None:
    assert kind_of(parse_yaml(EXAMPLES[8], "f")) is FileKind.FLIGHT
    assert flight().facts == {"night": False, "icing": None, "turnaround": True}
    document = parse_yaml(EXAMPLES[9], "f")
    assert kind_of(document) is FileKind.OVERLAY
    text = (FOLDER / "sandling-two" / "before-start.yaml").read_text(encoding="utf-8")
    base = checklist_from(parse_yaml(text, "base"), "base")
    assert len(merge_overlay(base, overlay_from(document, "f")).items) == len(base.items) + 1


RECORDS = [
    CHECKLIST,
    SECTION,
    PANEL,
    ACTION,
    ITEM,
    RESPONSE,
    WRONG,
    FLIGHT,
    OVERLAY,
    *KINDS.values(),
]


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.name)
def test_every_key_is_explained(record: Any) -> None:
    missing = [key for key in record.keys if f"`{key}`" not in PAGE and f"{key}:" not in PAGE]
    assert not missing


@pytest.mark.parametrize("choices", [Phase, Method, Role, Once, ValueKind])
def test_every_choice_is_named(choices: Any) -> None:
    assert not [member.value for member in choices if f"`{member.value}`" not in PAGE]


def test_every_unit_is_named() -> None:
    assert not [unit for unit in default_tables().units if f"`{unit}`" not in PAGE]


def test_every_shipped_list_is_for_study_and_defers_to_the_manual() -> None:
    for path in FOLDER.rglob("*.yaml"):
        node = parse_yaml(path.read_text(encoding="utf-8"), str(path))
        if kind_of(node) is FileKind.CHECKLIST:
            cautions = " ".join(checklist_from(node, str(path)).cautions)
            assert "approved manual" in cautions, path
