"""Ways to divide the lines of a page into challenge and response.

A way is one convention that a whole page keeps: a sign between the two, brackets around the second,
a name before each, one under the other, or nothing but the words themselves. Which of them the page
has is not decided here: each way that fits enough lines is proposed (choosing.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from callout.core.paper.page import Row
from callout.core.weighing.cell_items import ways_of_cells
from callout.core.weighing.orders import (
    ways_of_case,
    ways_of_columns,
    ways_of_order,
    ways_of_pairs,
    ways_of_type,
    ways_of_words,
)
from callout.core.weighing.runs import ways_of_runs
from callout.core.weighing.signs import ways_of_brackets, ways_of_names, ways_of_signs


def ways(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield ``rows`` divided in each way that they may be meant."""
    yield from ways_of_cells(rows)
    yield from ways_of_names(rows)
    yield from ways_of_brackets(rows)
    yield from ways_of_signs(rows)
    yield from ways_of_order(rows)
    yield from ways_of_type(rows)
    yield from ways_of_case(rows)
    yield from ways_of_words(rows)
    yield from ways_of_pairs(rows)
    yield from ways_of_columns(rows)
    yield from ways_of_runs(rows)
