"""How sure a reply must be that was spoken over the tool's voice."""

from __future__ import annotations

import numpy as np
import pytest

from callout.core.model.heard import Heard
from callout.hearing.over_voice import OverVoice
from callout.hearing.passage import (
    SURE_NEAR_VOICE,
    SURE_OF_A_REST,
    SURE_OVER_VOICE,
    Passage,
)
from callout.hearing.segmenter import BLOCK
from callout.ports.hearing import Samples

QUIET, NEAR, FAR = 100, 500, 5_000
OPENED_S = 3.0


def _block(level: int) -> Samples:
    return np.tile(np.array([level, -level], np.int16), BLOCK // 2)


def _opened(level: int) -> Passage:
    """A way in that a person has just spoken through, over the tool's quieter voice."""
    passage = Passage(OverVoice())
    for _ in range(40):
        assert passage.take(_block(QUIET), True, OPENED_S) == []
    passage.take(_block(level), True, OPENED_S)
    assert passage.take(_block(level), True, OPENED_S)
    assert passage.open
    return passage


def _least(passage: Passage, start: float, end: float) -> float:
    heard = Heard(text="on", confidence=0.95, sure=True, start=start, end=end)
    return passage.least(heard, after_voice=True)


def test_a_person_far_above_the_voice_is_heard_as_in_quiet() -> None:
    far = _opened(FAR)
    assert _least(far, OPENED_S + 0.1, OPENED_S + 0.5) == SURE_OVER_VOICE
    assert _least(far, OPENED_S + 0.42, OPENED_S + 0.6) == SURE_OVER_VOICE


def test_a_whole_word_little_above_the_voice_needs_to_be_surer() -> None:
    least = _least(_opened(NEAR), OPENED_S + 0.1, OPENED_S + 0.5)
    assert least == SURE_NEAR_VOICE > SURE_OVER_VOICE


@pytest.mark.parametrize(
    ("start", "end"), [(0.42, 0.9), (0.1, 0.3), (0.0, 0.5)], ids=["late", "brief", "under way"]
)
def test_what_may_be_the_rest_of_a_word_needs_more(start: float, end: float) -> None:
    least = _least(_opened(NEAR), OPENED_S + start, OPENED_S + end)
    assert least == SURE_OF_A_REST > SURE_NEAR_VOICE
