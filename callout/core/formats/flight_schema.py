"""The format of a flight file: reads a located document into a Flight."""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, MapOf, RecordShape
from callout.core.formats.flight_tables import DEMAND, LOOK_UP, WORD, check_look_ups, check_names
from callout.core.formats.schema import VERSION, as_document
from callout.core.formats.schema_items import (
    EXPRESSION,
    LINE,
    NAME,
    NOTE,
    VALUE_KEYS,
    one_or_several,
)
from callout.core.formats.state_shapes import DECLARED
from callout.core.model.checklist import Origin
from callout.core.model.flight import Comparison, Flight, FlightQuantity, SetUpFact
from callout.core.model.located import Node, Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Amount, Flag, Schema, Text, did_you_mean
from callout.core.planning.templates import Slot, names_in, written_number
from callout.core.sentences import list_format as sentences

FLIGHT_SCHEMA_ID: Final = "urn:callout:flight:1"


def _read_quantity(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    quantity = FlightQuantity(
        name=path.rsplit(".", 1)[-1],
        unit=values.get("unit"),
        kind=values.get("kind"),
        digits=values.get("digits"),
        decimals=values.get("decimals"),
        tolerance=values.get("tolerance"),
        unit_required=values.get("say_unit", False),
        other_units=values.get("or_units", ()),
        label=values.get("name", ""),
        source=values.get("from", ""),
        origin=Origin(report.file, node.line),
    )
    return _with_value(quantity, values.get("value", ""), node, path, report)


def _with_value(
    quantity: FlightQuantity, value: str, node: Table, path: str, report: ProblemReport
) -> Any:
    literal = Slot(value).literal if value else None
    if literal is None:
        return replace(quantity, expression=value)
    given = written_number(*literal)
    if given.unit and quantity.unit and given.unit != quantity.unit:
        fault = sentences.given_in_two_units(quantity.name, given.unit, quantity.unit)
        report.add(node.line, path, fault, sentences.UNIT_TWICE_HINT)
        return BAD
    return replace(
        quantity,
        number=given.number,
        unit=given.unit or quantity.unit,
        digits=given.digits if quantity.digits is None else quantity.digits,
        decimals=given.decimals if quantity.decimals is None else quantity.decimals,
    )


QUANTITY: Final = RecordShape(
    "a quantity",
    {
        "value": Key(EXPRESSION, "a number with its unit, or what it is computed from"),
        **VALUE_KEYS,
        "from": Key(LINE, "where it comes from, to say when it is missing"),
    },
    _read_quantity,
    shorthand="value",
)


def _read_fact(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    name = path.rsplit(".", 1)[-1]
    origin = Origin(report.file, node.line)
    said_yes, said_no = values.get("said_yes", ()), values.get("said_no", ())
    return SetUpFact(name, values.get("is"), values.get("ask", ""), origin, said_yes, said_no)


FACT: Final = RecordShape(
    "a fact",
    {
        "is": Key(Flag(unknown=True), "yes, no or unknown"),
        "ask": Key(LINE, "how to ask for it"),
        "said_yes": Key(one_or_several(LINE, "texts"), "what is said when it becomes true"),
        "said_no": Key(one_or_several(LINE, "texts"), "what is said when it is true no longer"),
    },
    _read_fact,
    shorthand="is",
)


def _read_flight(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    said = values.get("words", {})
    compared = {name: word for name, word in said.items() if isinstance(word, Comparison)}
    for name in said:
        if name in values.get("quantities", {}):
            hint = sentences.SAME_NAME_HINT
            report.add(node.line, "words", f'"{name}" is both a quantity and a word.', hint)
    _check_expressions(values.get("quantities", {}), report)
    check_look_ups(values.get("tables", ()), values.get("quantities", {}), report)
    check_names(compared, values.get("must", ()), values.get("quantities", {}), node, report)
    panels = values.get("panels", ())
    return Flight(
        title=values.get("title", ""),
        aircraft=values.get("aircraft", ""),
        operator=values.get("operator", ""),
        quantities=values.get("quantities", {}),
        set_up=values.get("facts", {}),
        words={name: word for name, word in said.items() if name not in compared},
        compared=compared,
        look_ups=values.get("tables", ()),
        demands=values.get("must", ()),
        panels=tuple(name for name, _ in panels),
        places={n: (x, y) for n, (x, y) in panels if x is not None and y is not None},
        state=values.get("state", {}),
        lacks=values.get("lacks", ()),
        notes=values.get("note", ()),
        origin=Origin(report.file, node.line),
    )


def _check_expressions(quantities: dict[str, FlightQuantity], report: ProblemReport) -> None:
    """Report computed quantities that name an unknown quantity or depend on themselves."""
    needs = {name: names_in(q.expression) for name, q in quantities.items() if q.expression}
    for name, needed in needs.items():
        for other in needed:
            if other not in quantities:
                fault = f'"{name}" is computed from "{other}", which is not a quantity here.'
                hint = did_you_mean(other, quantities) or sentences.UNKNOWN_QUANTITY_HINT
                report.add(quantities[name].origin.line, f"quantities.{name}", fault, hint)
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        name = next(n for n in error.args[1] if n in needs)
        fault = f'"{name}" is computed from itself: {" <- ".join(error.args[1])}.'
        hint = sentences.CIRCLE_HINT
        report.add(quantities[name].origin.line, f"quantities.{name}", fault, hint)


def _read_place(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    if ("across" in values) != ("up" in values):
        fault = f'the place of "{values["panel"]}" is given by halves.'
        report.add(node.line, path, fault, sentences.PLACE_HINT)
        return BAD
    return values["panel"], (values.get("across"), values.get("up"))


CENTIMETRES: Final = Amount(-300, 300, whole=True)
PANEL_PLACE: Final = RecordShape(
    "a panel",
    {
        "panel": Key(Text(60), "its name", required=True),
        "across": Key(CENTIMETRES, "how far right of the left seat, in centimetres"),
        "up": Key(CENTIMETRES, "how far above the seat, in centimetres"),
    },
    _read_place,
    shorthand="panel",
)


FLIGHT: Final = RecordShape(
    "a flight",
    {
        "callout": Key(VERSION, "the version of the format", required=True),
        "title": Key(Text(80), "the name of the flight"),
        "aircraft": Key(Text(80), "the aircraft"),
        "operator": Key(Text(80), "who operates it"),
        "quantities": Key(
            MapOf(QUANTITY, NAME, "quantities such as `qnh: 1013 hPa`"), "named numbers with units"
        ),
        "facts": Key(MapOf(FACT, NAME, "facts such as `night: no`"), "the set-up, yes or no"),
        "words": Key(MapOf(WORD, NAME, "words such as `runway: 24`"), "named texts"),
        "tables": Key(ListOf(LOOK_UP, "tables"), "numbers that depend on another one"),
        "must": Key(one_or_several(DEMAND, "comparisons"), "what must be true of the quantities"),
        "panels": Key(ListOf(PANEL_PLACE, "panels"), "the panels in scan order"),
        "state": Key(
            MapOf(DECLARED, NAME, "states such as `beacon: Switch panel`"),
            "what the aircraft can tell of itself",
        ),
        "lacks": Key(one_or_several(Text(80), "names"), "parts that this simulator does not have"),
        "note": Key(one_or_several(NOTE, "notes"), "anything else worth knowing"),
    },
    _read_flight,
)


def flight_from(document: Node, file: str) -> Flight:
    """Return the flight in ``document``; raise FileProblems naming ``file`` and lines."""
    report = ProblemReport(file)
    flight = FLIGHT.read(document, "", report)
    report.check()
    assert isinstance(flight, Flight)
    return flight


def flight_schema() -> Schema:
    """Return the JSON Schema (2020-12) of a flight file."""
    return as_document(FLIGHT, FLIGHT_SCHEMA_ID, "A callout flight")
