"""What counts as ink that was not read: letters outside all words, and nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from callout.core.paper.levelling import Piece

cv2 = pytest.importorskip("cv2")

_LETTER = 20


def _drawn(words: dict[str, tuple[int, int]], read: set[str]) -> tuple[np.ndarray, list[Piece]]:  # type: ignore[type-arg]
    """Return a white page with ``words``, and the pieces of those that the reader read."""
    page = np.full((400, 700, 3), 250, np.uint8)
    pieces = []
    for text, (x, y) in words.items():
        cv2.putText(page, text, (x, y), cv2.FONT_HERSHEY_SIMPLEX, 0.9, (20, 20, 20), 2)
        (wide, high), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, 0.9, 2)
        if text in read:
            corners = ((x, y - high), (x + wide, y - high), (x + wide, y + 6), (x, y + 6))
            pieces.append(Piece(tuple((float(a), float(b)) for a, b in corners), (), 0.9))
    return page, pieces


_WORDS = {
    "Battery": (40, 60), "ON": (400, 60), "checked": (500, 60),
    "Beacon": (40, 120), "OFF": (400, 120),
    "Trim": (40, 300), "SET": (400, 300), "twice": (560, 300),
}  # fmt: skip


@pytest.mark.parametrize("dropped", ["ON", "Beacon", "SET", "checked"])
def test_a_word_that_was_dropped_is_found_where_it_stands(dropped: str) -> None:
    from callout.app.authoring.photo_ink import unread_ink
    from callout.app.authoring.photo_shape import even_light

    page, pieces = _drawn(_WORDS, set(_WORDS) - {dropped})
    found = unread_ink(even_light(page), pieces, _LETTER)
    x, y = _WORDS[dropped]
    assert len(found) == 1
    left, top, right, bottom = found[0]
    assert left < x + 15 < right
    assert top < y - 8 < bottom


def test_rules_frames_boxes_to_tick_and_shaded_fields_are_not_words() -> None:
    from callout.app.authoring.photo_ink import unread_ink
    from callout.app.authoring.photo_shape import even_light

    page, pieces = _drawn(_WORDS, set(_WORDS))
    cv2.line(page, (30, 200), (660, 200), (0, 0, 0), 2)
    cv2.line(page, (300, 30), (300, 330), (0, 0, 0), 2)
    cv2.rectangle(page, (350, 150), (368, 168), (0, 0, 0), 2)
    cv2.rectangle(page, (400, 150), (520, 180), (0, 0, 0), 2)
    cv2.rectangle(page, (100, 220), (200, 245), (60, 60, 60), -1)
    assert unread_ink(even_light(page), pieces, _LETTER) == ()
