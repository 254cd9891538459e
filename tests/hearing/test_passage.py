"""How sure a reply must be that was spoken over the tool's voice."""

from __future__ import annotations

import numpy as np
import pytest

from callout.core.model.heard import Heard
from callout.hearing.over_voice import OverVoice
from callout.hearing.passage import SURE_OF_A_REST, SURE_OVER_VOICE, Passage
from callout.hearing.segmenter import BLOCK
from callout.ports.hearing import Samples

QUIET, LOUD = 100, 5_000
OPENED_S = 3.0


def _block(level: int) -> Samples:
    return np.tile(np.array([level, -level], np.int16), BLOCK // 2)


@pytest.fixture
def opened() -> Passage:
    """A way in that a person has just spoken through, over the tool's quieter voice."""
    passage = Passage(OverVoice())
    for _ in range(40):
        assert passage.take(_block(QUIET), True, OPENED_S) == []
    passage.take(_block(LOUD), True, OPENED_S)
    assert passage.take(_block(LOUD), True, OPENED_S)
    assert passage.open
    return passage


def _least(passage: Passage, start: float, end: float) -> float:
    heard = Heard(text="on", confidence=0.95, sure=True, start=start, end=end)
    return passage.least(heard, after_voice=True)


def test_a_whole_word_over_the_voice_needs_to_be_sure(opened: Passage) -> None:
    assert _least(opened, OPENED_S + 0.1, OPENED_S + 0.5) == SURE_OVER_VOICE


@pytest.mark.parametrize(
    ("start", "end"), [(0.42, 0.9), (0.1, 0.3), (0.0, 0.5)], ids=["late", "brief", "under way"]
)
def test_what_may_be_the_rest_of_a_word_needs_more(
    opened: Passage, start: float, end: float
) -> None:
    assert _least(opened, OPENED_S + start, OPENED_S + end) == SURE_OF_A_REST > SURE_OVER_VOICE
