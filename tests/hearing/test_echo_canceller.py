"""The tool's own voice taken out of what the microphone hears; sounds are made, levels known."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench.voice.rooms import Room, echo_left
from callout.bench.voice.voices import spoken_samples
from callout.hearing.cabin_noise import speech_rms
from callout.hearing.echo_canceller import STEP, EchoCanceller
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.speaking.embedded.rendering import FIRST, Renderer
from tests.hearing.recordings import recording

_RENDERER = Renderer.shipped()
SAID = [
    spoken_samples(_RENDERER, text, FIRST)
    for text in ("Avionics master", "Parking brake", "Fuel quantity", "Flight controls") * 2
]


def _power(samples: Samples) -> float:
    return float(np.mean(samples.astype(np.float64) ** 2))


@pytest.mark.parametrize("delay", [0.02, 0.1, 0.25])
@pytest.mark.parametrize("reverberation", [0.3, 0.6])
def test_a_known_voice_is_taken_out_once_the_way_is_known(
    delay: float, reverberation: float
) -> None:
    left = echo_left(Room(delay, reverberation), SAID)
    assert left.removed_db > 15


def test_clocks_that_drift_apart_are_followed() -> None:
    assert echo_left(Room(0.1, 0.3, drift=100.0), SAID).removed_db > 4


def test_a_person_is_left_as_loud_as_they_were_and_does_not_lead_it_astray() -> None:
    room, person = Room(0.1, 0.3), recording("human/right.wav")
    pause = np.zeros(SAMPLE_RATE, np.int16)
    played = np.concatenate([part for said in SAID for part in (said, pause)])
    played = played[: len(played) // STEP * STEP]
    echo = room.heard(played)
    heard = echo.astype(np.float64)
    at = len(played) // 2 + 2_000
    voice = person * (speech_rms(echo.astype(np.float64)) / speech_rms(person))
    heard[at : at + len(voice)] += voice
    left = EchoCanceller().take(np.round(heard).astype(np.int16), played)
    alone = EchoCanceller().take(echo, played)
    kept = left[at : at + len(voice)].astype(np.float64)
    assert np.corrcoef(kept, voice)[0, 1] > 0.9
    after = slice(at + len(voice) + SAMPLE_RATE, None)
    assert _power(left[after]) < 10 * _power(alone[after])


def test_silence_teaches_nothing_and_is_left_alone() -> None:
    canceller = EchoCanceller()
    heard = recording("human/left.wav")[: 20 * STEP]
    heard = heard[: len(heard) // STEP * STEP]
    assert np.array_equal(canceller.take(heard, np.zeros(len(heard), np.int16)), heard)
    assert canceller.removed_db is None
