"""Upright rules, and edges that are none, in small pictures made here."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

pytest.importorskip("cv2")

import cv2

from callout.app.authoring.photo_strokes import without_edges
from callout.app.authoring.photo_uprights import upright_strokes


def page() -> Any:
    made = np.full((400, 900, 3), 250, np.uint8)
    for y in (100, 150, 200, 250):
        cv2.putText(made, "Fuel  ILLI", (60, y), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (40, 40, 40), 2)
    return made


@pytest.mark.parametrize("lean", [0, 4])
def test_an_upright_rule_is_found_in_pieces_though_it_leans(lean: int) -> None:
    made = page()
    cv2.line(made, (450, 60), (450 + lean, 320), (120, 120, 120), 2)
    found = upright_strokes(made, 34.0)
    assert found
    assert all(440 < box.left < 462 and box.width < 10 for box in found)
    assert max(box.bottom for box in found) - min(box.top for box in found) > 220


def test_letters_are_no_rules() -> None:
    assert upright_strokes(page(), 34.0) == ()


def test_the_edge_of_a_dark_field_is_no_stroke() -> None:
    made = page()
    made[300:340, 40:860] = 20
    rule, edge = (40.0, 279.0, 860.0, 281.0), (40.0, 299.0, 860.0, 302.0)
    cv2.line(made, (40, 280), (860, 280), (90, 90, 90), 2)
    assert without_edges((rule, edge), made) == (rule,)
