"""Units that a picture shows as letters which look the same."""

from __future__ import annotations

import pytest

from callout.core.paper.misread import with_units
from callout.core.paper.page import Box, Word


def line(*texts: str, sure: float = 0.97) -> list[Word]:
    return [
        Word(text, Box(40.0 * at, 10, 40.0 * at + 30, 20), sure) for at, text in enumerate(texts)
    ]


@pytest.mark.parametrize(
    ("seen", "meant"),
    [
        (("Fuel", "____", "Ib"), ["Fuel", "____", "lb"]),
        (("Course", "____", "o"), ["Course", "____", "\u00b0"]),
        (("below", "210", "C"), ["below", "210", "\u00b0C"]),
        (("below", "150\u00b0C"), ["below", "150 \u00b0C"]),
        (("Runway", "27", "C"), ["Runway", "27", "C"]),
        (("Ib", "o"), ["Ib", "o"]),
    ],
)
def test_a_unit_is_known_by_the_value_before_it(seen: tuple[str, ...], meant: list[str]) -> None:
    assert [word.text for word in with_units([line(*seen)])] == meant


def test_letters_of_a_pdf_are_kept_as_they_are() -> None:
    seen = line("Fuel", "____", "Ib", sure=1.0)
    assert list(with_units([seen])) == seen
