"""How fast sound dies away: against decays that are known by construction."""

from __future__ import annotations

import numpy as np
import pytest

from callout.hearing.echo import room_echoes, steepest_fall
from callout.ports.hearing import SAMPLE_RATE, Samples
from tests.hearing.recordings import WORDS, recording

T = np.arange(SAMPLE_RATE) / SAMPLE_RATE
SINGLE = [name for name in WORDS if name.startswith("human/") and name != "human/coffee.wav"]


def dying(seconds: float) -> Samples:
    """Return a tone that is cut off and dies away by 60 dB in so many seconds."""
    level = np.where(T < 0.3, 1.0, 10 ** (-3.0 * (T - 0.3) / seconds))
    return (20_000 * level * np.sin(2 * np.pi * 500 * T)).astype(np.int16)


@pytest.mark.parametrize("seconds", [0.3, 0.4, 0.8])
def test_a_decay_is_read_as_60_db_in_the_reverberation_time(seconds: float) -> None:
    """Reverberation time is that of a decay by 60 dB (ISO 3382-2, 3.5; number from memory)."""
    assert steepest_fall(dying(seconds)) == pytest.approx(-60 / seconds, rel=0.05)


def test_words_as_recorded_do_not_hang_and_dying_tones_do() -> None:
    assert not room_echoes([recording(name) for name in SINGLE], 40.0)
    assert room_echoes([dying(0.5)] * 3, 40.0)


def test_noise_and_too_few_words_hide_it() -> None:
    assert not room_echoes([dying(0.5)] * 3, 20.0)
    assert not room_echoes([dying(0.5)] * 3, None)
    assert not room_echoes([dying(0.5)] * 2, 40.0)
    assert not room_echoes([np.zeros(n, np.int16) for n in (0, 1, 100)], 40.0)
    assert steepest_fall(np.zeros(SAMPLE_RATE, np.int16)) == 0.0
