"""The parts of a flight file that depend on numbers: tables, compared words and demands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, MapOf, RecordShape
from callout.core.formats.schema_items import EXPRESSION, LINE, NAME
from callout.core.model.checklist import Origin
from callout.core.model.flight import Comparison, Demand, FlightQuantity, LookUp
from callout.core.model.located import Node, Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Text, did_you_mean
from callout.core.planning.templates import (
    Slot,
    Written,
    check_expression,
    names_in,
    written_number,
)
from callout.core.sentences import list_format as sentences

ROW: Final = MapOf(EXPRESSION, NAME, "numbers such as `takeoff_mass: 860 kg`")


def _look_up(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    by, rows = values["by"], [_row_numbers(row) for row in values["rows"]]
    fault = _table_fault(by, rows)
    if fault:
        report.add(node.line, path, *fault)
        return BAD
    first = {name: number.unit for name, number in rows[0].items()}
    return LookUp(
        by=by,
        unit=first[by],
        rows=tuple((row[by].number, _row_columns(row, by)) for row in rows),
        units={name: unit for name, unit in first.items() if name != by},
        origin=Origin(report.file, node.line),
    )


def _row_columns(row: Mapping[str, Written], by: str) -> dict[str, Decimal]:
    return {name: number.number for name, number in row.items() if name != by}


def _row_numbers(row: Mapping[str, str]) -> dict[str, Written]:
    """Return the numbers of a row; anything else is left out."""
    found = ((name, Slot(text).literal) for name, text in row.items())
    return {name: written_number(*literal) for name, literal in found if literal}


def _table_fault(by: str, rows: Sequence[Mapping[str, Written]]) -> tuple[str, str] | None:
    """Return what is wrong with the rows of a table, and how to fix it."""
    head = {name: value.unit for name, value in rows[0].items()}
    if any({n: v.unit for n, v in row.items()} != head for row in rows[1:]):
        return "its rows do not have the same columns and units.", sentences.ROW_KEYS_HINT
    if by not in head or len(head) < 2:
        return f'its rows have no "{by}", or nothing beside it.', sentences.row_key_hint(by)
    steps = [row[by].number for row in rows]
    if any(low >= high for low, high in pairwise(steps)):
        return f'its rows do not rise by "{by}".', sentences.ROW_ORDER_HINT
    return None


LOOK_UP: Final = RecordShape(
    "a table",
    {
        "by": Key(NAME, "the quantity its rows go by", required=True),
        "rows": Key(ListOf(ROW, "rows"), "the rows, each with every column", required=True),
    },
    _look_up,
)


def check_look_ups(
    tables: Iterable[LookUp], quantities: Mapping[str, FlightQuantity], report: ProblemReport
) -> None:
    """Report tables whose columns are unknown, computed, or already in another table."""
    owner: dict[str, LookUp] = {}
    for table in tables:
        line = table.origin.line
        for name in (table.by, *table.units):
            if name not in quantities:
                hint = did_you_mean(name, quantities) or sentences.UNKNOWN_QUANTITY_HINT
                report.add(line, "tables", f'the table\'s "{name}" is not a quantity here.', hint)
        for name in table.units:
            if owner.setdefault(name, table) is not table:
                report.add(
                    line, "tables", f'"{name}" is in two tables.', sentences.DECLARED_TWICE_HINT
                )
            elif name in quantities and quantities[name].expression:
                fault = f'"{name}" is computed, and is in a table as well.'
                report.add(line, "tables", fault, sentences.LOOK_UP_TWICE_HINT)


def _read_comparison(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    if "text" in values:
        return values["text"]
    if ("greatest" in values) == ("least" in values):
        hint = sentences.COMPARISON_HINT
        report.add(node.line, path, "it needs either greatest or least.", hint)
        return BAD
    most = "greatest" in values
    return Comparison(tuple(values["greatest" if most else "least"].items()), most)


CHOICES: Final = MapOf(NAME, Text(80), "words, each with its quantity")
WORD: Final = RecordShape(
    "a word",
    {
        "text": Key(Text(80), "the text"),
        "greatest": Key(CHOICES, "words with their quantities: that of the greatest"),
        "least": Key(CHOICES, "words with their quantities: that of the least"),
    },
    _read_comparison,
    shorthand="text",
)


def _read_demand(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Demand(values["holds"], values.get("because", ""), Origin(report.file, node.line))


DEMAND: Final = RecordShape(
    "a demand",
    {
        "holds": Key(
            Text(parse=check_expression, hint=sentences.EXAMPLE_COMPARISON),
            "a comparison of quantities",
            required=True,
        ),
        "because": Key(LINE, "what to tell the person"),
    },
    _read_demand,
    shorthand="holds",
)


def check_names(
    compared: Mapping[str, Comparison],
    demands: Iterable[Demand],
    quantities: Mapping[str, FlightQuantity],
    node: Node,
    report: ProblemReport,
) -> None:
    """Report comparisons that use unknown quantities."""
    named = [(node.line, name) for word in compared.values() for _, name in word.of]
    named += [(d.origin.line, name) for d in demands for name in names_in(d.text)]
    for line, name in named:
        if name not in quantities:
            hint = did_you_mean(name, quantities) or sentences.UNKNOWN_QUANTITY_HINT
            report.add(line, "", f'"{name}" is compared, and is not a quantity here.', hint)
