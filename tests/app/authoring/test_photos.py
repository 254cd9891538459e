"""Photographs of invented cards, read by the real letter reader (optional group photos)."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.authoring.sources import read_source
from callout.errors import ChecklistInvalid

pytest.importorskip("rapidocr")
pytest.importorskip("cv2")

from callout.bench.cards.decks import DECKS, Card
from callout.bench.cards.scoring import Score, score_card

CARDS = {card.name: card for card in DECKS["first"]}


def _scored(card: Card, folder: Path) -> Score:
    ending, data = card.made()
    path = folder / f"{card.name}{ending}"
    path.write_bytes(data)
    return score_card(card.text().truths, read_source(path).reading)


@pytest.mark.parametrize("name", ["photo-01", "photo-03"])
def test_a_photograph_gives_its_items(name: str, tmp_path: Path) -> None:
    """A plain card, and one that is tilted, blurred, shaded and seen from aside."""
    score = _scored(CARDS[name], tmp_path)
    assert score.found >= 0.9 * score.items
    assert score.exact >= 0.85 * score.items


def test_a_damaged_photograph_is_one_sentence(tmp_path: Path) -> None:
    _, data = CARDS["photo-01"].made()
    path = tmp_path / "torn.jpg"
    path.write_bytes(data[: len(data) // 50])
    with pytest.raises(ChecklistInvalid):
        read_source(path)
