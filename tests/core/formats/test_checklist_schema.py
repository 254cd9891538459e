"""The published JSON Schemas: current, valid, and of one mind with the reader."""

from __future__ import annotations

import copy
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.list_files.schemas import SCHEMAS, schema_text
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.model.located import from_plain
from callout.errors import ChecklistInvalid

READERS = {"checklist": checklist_from, "flight": flight_from, "overlay": overlay_from}
SHIPPED = sorted((Path(__file__).parents[3] / "checklists").rglob("*.yaml"))


class EditorLoader(yaml.SafeLoader):
    """Types as a YAML 1.2 editor sees them (core schema, yaml.org/spec/1.2.2, section 10.3.2)."""


EditorLoader.yaml_implicit_resolvers = {}
for tag, pattern in (
    ("bool", r"(?:true|false)$"),
    ("int", r"[-+]?[0-9]+$"),
    ("float", r"[-+]?[0-9]+\.[0-9]+$"),
):
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), None)  # type: ignore[no-untyped-call]


def kind_of(document: dict[str, Any]) -> str:
    if "overlay" in document:
        return "overlay"
    return "flight" if "quantities" in document else "checklist"


def as_edited(path: Path) -> dict[str, Any]:
    document = yaml.load(path.read_text(encoding="utf-8"), Loader=EditorLoader)
    assert isinstance(document, dict)
    return document


def schema_takes(kind: str, document: Any) -> bool:
    schema = json.loads(schema_text(kind))
    return jsonschema.Draft202012Validator(schema).is_valid(document)


def reader_takes(kind: str, document: Any) -> bool:
    try:
        READERS[kind](from_plain(document), "f.yaml")
    except ChecklistInvalid:
        return False
    return True


@pytest.mark.parametrize("kind", SCHEMAS)
def test_the_shipped_schema_is_current(kind: str) -> None:
    """To renew: callout check --print-schema KIND > callout/data/KIND.schema.json."""
    shipped = (files("callout") / "data" / f"{kind}.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text(kind)


@pytest.mark.parametrize("kind", SCHEMAS)
def test_the_schema_is_draft_2020_12(kind: str) -> None:
    schema = json.loads(schema_text(kind))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_files_are_valid_by_the_schema(path: Path) -> None:
    document = as_edited(path)
    schema = json.loads(schema_text(kind_of(document)))
    jsonschema.validate(document, schema, cls=jsonschema.Draft202012Validator)


CHECKLIST: dict[str, Any] = {
    "callout": 1,
    "id": "before-start",
    "title": "Before start",
    "phase": "before-start",
    "method": "flow-then-verify",
    "complete": "before start checklist complete",
    "trigger": ["before start checklist"],
    "due": "parked",
    "follows": "cockpit-preparation",
    "who": "left-seat",
    "when": "not turnaround",
    "caution": "Study only.",
    "contrasts": [["ferry", "passenger"]],
    "synonyms": {"lamps": "lights"},
    "flow": [{"panel": "Overhead", "do": [{"control": "Beacon", "position": "on"}]}],
    "sections": [
        {
            "title": "Outside",
            "when": "night",
            "items": [
                {"id": "beacon", "challenge": "Beacon", "response": "on", "wrong": "off"},
                {
                    "id": "qnh",
                    "challenge": "Altimeters",
                    "say": "altimeters",
                    "response": {"value": "qnh", "tolerance": 1, "kind": "pressure", "digits": 4},
                    "critical": True,
                    "who": "both",
                    "once": "day",
                    "needs": "qnh",
                    "wrong": [{"text": "standard", "because": "Below the transition level."}],
                },
            ],
        }
    ],
}
FLIGHT: dict[str, Any] = {
    "callout": 1,
    "quantities": {"qnh": {"value": "1013 hPa", "or_units": ["inHg"]}, "flap": 5},
    "facts": {"night": False, "icing": {"is": "unknown", "ask": "Icing?"}},
    "words": {"runway": "24 left"},
}
OVERLAY: dict[str, Any] = {
    "callout": 1,
    "overlay": "before-start",
    "title": "Operator",
    "changes": [
        {"add": {"id": "vest", "challenge": "Vest", "response": "on"}, "after": "beacon"},
        {"move": "qnh", "before": "beacon"},
        {"reword": "beacon", "challenge": "Strobe"},
        {"tighten": "qnh", "tolerance": 0, "critical": True},
    ],
}
GOOD = {"checklist": CHECKLIST, "flight": FLIGHT, "overlay": OVERLAY}

Step = str | int


def changed(document: Any, path: tuple[Step, ...], value: Any) -> Any:
    """Return a copy with the node at ``path`` replaced; None deletes it."""
    copied = copy.deepcopy(document)
    node = copied
    for step in path[:-1]:
        node = node[step]
    if value is None:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return copied


@pytest.mark.parametrize("kind", GOOD)
def test_good_documents_are_taken_by_both(kind: str) -> None:
    assert schema_takes(kind, GOOD[kind])
    assert reader_takes(kind, GOOD[kind])


ITEM = ("sections", 0, "items", 0)
DEFECTS: list[tuple[str, tuple[Step, ...], Any]] = [
    *[("checklist", (key,), None) for key in ("callout", "id", "title")],
    *[("checklist", (key,), None) for key in ("phase", "method", "complete")],
    ("checklist", ("callout",), 2),
    ("checklist", ("callout",), "one"),
    ("checklist", ("tittle",), "x"),
    ("checklist", ("id",), "Before Start"),
    ("checklist", ("title",), ""),
    ("checklist", ("title",), "x" * 81),
    ("checklist", ("title",), ["a"]),
    ("checklist", ("phase",), "lunch"),
    ("checklist", ("method",), "by-heart"),
    ("checklist", ("follows",), []),
    ("checklist", ("contrasts",), [["one"]]),
    ("checklist", ("contrasts",), "one"),
    ("checklist", ("synonyms",), ["a"]),
    ("checklist", ("sections",), []),
    ("checklist", ("sections", 0, "title"), None),
    ("checklist", ("sections", 0, "items"), []),
    ("checklist", ("sections", 0, "items"), {"id": "beacon"}),
    *[("checklist", (*ITEM, key), None) for key in ("id", "challenge", "response")],
    ("checklist", (*ITEM, "response"), ""),
    ("checklist", (*ITEM, "response"), []),
    ("checklist", (*ITEM, "response"), ["on", ""]),
    ("checklist", (*ITEM, "response"), {"text": "on", "colour": "red"}),
    ("checklist", (*ITEM, "respones"), "on"),
    ("checklist", (*ITEM, "critical"), "maybe"),
    ("checklist", (*ITEM, "who"), "captain"),
    ("checklist", (*ITEM, "once"), "week"),
    ("checklist", (*ITEM, "needs"), "Fuel Left"),
    ("checklist", ("sections", 0, "items", 1, "response", "digits"), 0),
    ("checklist", ("sections", 0, "items", 1, "response", "digits"), 2.5),
    ("checklist", ("sections", 0, "items", 1, "response", "tolerance"), -1),
    ("checklist", ("sections", 0, "items", 1, "response", "kind"), "colour"),
    ("checklist", ("flow", 0, "do"), []),
    ("checklist", ("flow", 0, "do", 0, "position"), None),
    ("flight", ("callout",), None),
    ("flight", ("fact",), {}),
    ("flight", ("facts", "night"), "perhaps"),
    ("flight", ("facts", "Night time"), True),
    ("flight", ("quantities", "qnh", "kind"), "colour"),
    ("flight", ("quantities", "QNH"), 5),
    ("flight", ("words", "runway"), []),
    ("overlay", ("overlay",), None),
    ("overlay", ("changes",), []),
    ("overlay", ("changes", 1), {"remove": "qnh"}),
    ("overlay", ("changes", 1), {}),
    ("overlay", ("changes", 1), {"move": "qnh", "reword": "qnh", "before": "beacon"}),
    ("overlay", ("changes", 2, "when"), "night"),
    ("overlay", ("changes", 3, "when"), "night"),
    ("overlay", ("changes", 0, "add", "id"), None),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "path", "value"), DEFECTS)
def test_a_defect_the_schema_can_say_is_refused_by_both(
    kind: str, path: tuple[Step, ...], value: Any
) -> None:
    document = changed(GOOD[kind], path, value)
    assert not schema_takes(kind, document)
    assert not reader_takes(kind, document)


def paths(node: Any, here: tuple[Step, ...] = ()) -> list[tuple[Step, ...]]:
    pairs: list[tuple[Step, Any]] = []
    if isinstance(node, dict):
        pairs = list(node.items())
    elif isinstance(node, list):
        pairs = list(enumerate(node))
    below = [path for step, value in pairs for path in paths(value, (*here, step))]
    return ([here] if here else []) + below


VALUES = st.one_of(
    st.none(),
    st.sampled_from(["", "on", "yes", "unknown", "night", "either", "day", "a b", "1013", "{qnh}"]),
    st.booleans(),
    st.integers(-2, 9),
    st.sampled_from([1.5, 0.0, 29.92]),
    st.lists(st.sampled_from(["on", "off", "a"]), max_size=3),
    st.dictionaries(st.sampled_from(["text", "value", "items", "x"]), st.just("on"), max_size=2),
)


@settings(max_examples=400, deadline=None)
@given(st.data(), st.sampled_from(sorted(GOOD)))
def test_what_the_reader_takes_the_schema_takes(data: st.DataObject, kind: str) -> None:
    document = GOOD[kind]
    for _ in range(data.draw(st.integers(1, 3))):
        where = data.draw(st.sampled_from(paths(document)))
        document = changed(document, where, data.draw(VALUES))
    if reader_takes(kind, document):
        assert schema_takes(kind, document)
