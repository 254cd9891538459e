"""State that an aircraft can report, as a flight file declares it."""

from __future__ import annotations

from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, RecordShape
from callout.core.formats.schema_items import LINE
from callout.core.model.located import Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Flag, Text
from callout.core.model.state_quantity import ON_OFF, StateQuantity, position_fault
from callout.core.sentences import list_format as sentences


def _declared(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    number = values.get("number", False) or "unit" in values
    positions: tuple[str, ...] = values.get("positions", () if number else ON_OFF)
    if number and "positions" in values:
        fault = "a quantity is a number or has positions, not both."
        report.add(node.line, path, fault, sentences.DECLARED_TWICE_HINT)
        return BAD
    for word in positions:
        fault = position_fault(word)
        if fault:
            said = f'the position "{word}" {fault}.'
            report.add(node.line, path, said, sentences.EXAMPLE_POSITIONS)
            return BAD
    if len(set(positions)) < len(positions):
        report.add(node.line, path, "a position stands there twice.", sentences.DECLARED_TWICE_HINT)
        return BAD
    return StateQuantity(
        name=path.rsplit(".", 1)[-1],
        positions=positions,
        unit=values.get("unit"),
        label=values.get("name", ""),
        panel=values.get("panel", ""),
        line=node.line,
    )


DECLARED: Final = RecordShape(
    "a state",
    {
        "panel": Key(Text(60), "the panel it is on"),
        "positions": Key(
            ListOf(Text(30), "positions", least=2, most=20), "its positions, when not off and on"
        ),
        "unit": Key(Text(20), "the unit, where it is a number"),
        "number": Key(Flag(), "yes: a number without a unit"),
        "name": Key(LINE, "what it is called, when its name in words will not do"),
    },
    _declared,
    shorthand="panel",
)
