"""A blank that a picture shows twice is one value."""

from __future__ import annotations

import pytest

from callout.core.paper.page import Box, Cell, Origin, Row
from callout.core.weighing.lines import once


def _row(text: tuple[str, ...], top: float, gap: float) -> Row:
    lefts = (40.0, 300.0)[2 - len(text) :]
    cells = tuple(Cell(t, left, left + 60) for t, left in zip(text, lefts, strict=True))
    box = Box(lefts[0], top, 360.0, top + 10)
    return Row(cells, Origin(1, 1, " ".join(text), box), gap=gap)


MASS = _row(("Landing mass", "____ kg"), 40, 0.5)


@pytest.mark.parametrize("unit", ["kt", "hPa", "ft"])
def test_a_blank_with_its_unit_half_a_line_too_high_belongs_to_the_line(unit: str) -> None:
    rows = once([MASS, _row((f"____ {unit}",), 60, 0.5), _row(("Reference", "____"), 62, -0.9)])
    assert [[cell.text for cell in row.cells] for row in rows] == [
        ["Landing mass", "____ kg"],
        ["Reference", f"____ {unit}"],
    ]


@pytest.mark.parametrize(
    ("second", "third"),
    [
        (_row(("____ kt",), 60, 0.5), _row(("Reference", "____"), 80, 0.5)),
        (_row(("____ kt",), 60, 0.5), _row(("Reference", "SET"), 62, -0.9)),
        (_row(("____ left",), 60, 0.5), _row(("Reference", "____"), 62, -0.9)),
    ],
)
def test_other_values_stay_apart(second: Row, third: Row) -> None:
    assert once([MASS, second, third]) == [MASS, second, third]
