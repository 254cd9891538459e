"""Bad levels and rooms are what they say they are, before anything is heard through them."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench.corpora import CorpusKind, CorpusRecording
from callout.bench.levels import UNTOUCHED, impulse_response, level_changes
from callout.ports.hearing import SAMPLE_RATE
from tests.hearing.recordings import recording

CHANGES = {change.name: change for change in level_changes()}
ON = CorpusRecording("on", "", CorpusKind.REPLY, "on", ("on", "off"), recording("human/on.wav"))
VOICE = ON.samples / 32768.0


def test_untouched_is_the_recording_with_room_around_it_bit_for_bit() -> None:
    found = CHANGES[UNTOUCHED].apply(ON)
    room = np.zeros(SAMPLE_RATE // 2, np.int16)
    assert np.array_equal(found, np.concatenate([room, ON.samples, room]))


@pytest.mark.parametrize("offset", [0.1, 0.3])
def test_an_offset_is_there_at_the_device_and_gone_at_the_port(offset: float) -> None:
    change = CHANGES[f"offset {offset:g} of full scale"]
    assert change.make(VOICE).mean() == pytest.approx(VOICE.mean() + offset)
    assert abs(change.apply(ON)[: SAMPLE_RATE // 4].mean()) < 0.012 * 32768


@pytest.mark.parametrize("decibels", [-40, -50])
def test_a_faint_voice_peaks_where_it_says(decibels: int) -> None:
    peak = np.abs(CHANGES[f"peak at {decibels} dB"].apply(ON).astype(int)).max()
    assert 20 * np.log10(peak / 32768) == pytest.approx(decibels, abs=0.1)


@pytest.mark.parametrize("share", [0.01, 0.05, 0.2])
def test_so_many_samples_of_speech_are_limited(share: float) -> None:
    loud = CHANGES[f"{share:.0%} of the speech clipped"].make(VOICE)
    speech = np.abs(VOICE) > 0.05 * np.abs(VOICE).max()
    assert np.mean(np.abs(loud[speech, 0]) >= 1.0) == pytest.approx(share, abs=0.002)


@pytest.mark.parametrize("rate", [8_000, 11_025, 22_050, 44_100, 48_000])
def test_another_rate_has_its_own_number_of_frames_and_comes_back_in_time(rate: int) -> None:
    change = CHANGES[f"{rate} Hz"]
    assert change.rate == rate
    assert len(change.make(VOICE)) == pytest.approx(len(VOICE) * rate / SAMPLE_RATE, abs=1)
    assert len(change.apply(ON)) == pytest.approx(len(VOICE) + SAMPLE_RATE, abs=2)


def test_one_silent_channel_halves_nothing_away() -> None:
    found = CHANGES["stereo, one channel silent"].apply(ON)
    assert np.abs(found).max() >= 0.49 * np.abs(ON.samples).max()


def test_the_made_room_decays_as_said() -> None:
    """Decay by backward integration (Schroeder, J. Acoust. Soc. Am. 37, 1965), -5 to -25 dB (T20).

    Direct sound over the tail: critical distance 0.057 m * sqrt(2 * 40 / 0.4) = 0.81 m, so at 2 m
    the tail is 7.9 dB above the direct sound (formula from memory).
    """
    room = impulse_response()
    energy = np.cumsum(room[::-1] ** 2)[::-1]
    level = 10 * np.log10(energy[1:] / energy[1])
    inside = np.flatnonzero((level < -5) & (level > -25))
    slope = np.polyfit(inside / SAMPLE_RATE, level[inside], 1)[0]
    assert -60 / slope == pytest.approx(0.4, rel=0.1)
    assert 10 * np.log10(np.sum(room[1:] ** 2) / room[0] ** 2) == pytest.approx(7.9, abs=0.1)
    assert np.array_equal(room, impulse_response())
