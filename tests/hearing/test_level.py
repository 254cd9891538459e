"""Levels at the device: against values that follow from the definitions."""

from __future__ import annotations

import math
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.hearing.lasting import LastingMicrophone
from callout.hearing.level import SILENT_DB, Gauge, SpeechLevel, flat_tops
from callout.hearing.played import PlayedSource, Recording
from tests.fakes import FakeSoundDevice, device
from tests.hearing.wav_bytes import wav

T = np.arange(48_000) / 48_000
SINE = np.sin(2 * np.pi * 300 * T).astype(np.float32)


def gauged(*channels: np.ndarray) -> Gauge:
    gauge = Gauge()
    gauge.take(np.stack(channels, axis=1).astype(np.float32), 48_000)
    return gauge


def test_a_full_scale_sine_is_3_db_below_full_scale() -> None:
    """RMS of a sine is its peak over the square root of two: -3.01 dB (common practice)."""
    level = gauged(SINE).reading()
    assert level.rms_db == pytest.approx(20 * math.log10(1 / math.sqrt(2)), abs=0.01)
    assert level.peak_db == pytest.approx(0.0, abs=0.01)
    assert level.offset_db < -90
    assert level.seconds == pytest.approx(1.0)
    assert level.clipped == 0.0


def test_an_offset_is_told_and_does_not_count_as_level() -> None:
    level = gauged(0.01 * SINE + 0.1).reading()
    assert level.offset_db == pytest.approx(-20.0, abs=0.05)
    assert level.rms_db == pytest.approx(-43.01, abs=0.05)


def test_the_louder_channel_counts() -> None:
    assert gauged(0.001 * SINE, 0.5 * SINE).reading().rms_db == pytest.approx(-9.03, abs=0.05)


@pytest.mark.parametrize("limit", [1.0, 0.7])
def test_clipping_is_found_at_any_limit_of_the_preamplifier(limit: float) -> None:
    clipped = gauged(np.clip(2.5 * SINE, -limit, limit)).reading().clipped
    share = 1 - 2 * math.asin(limit / 2.5) / math.pi
    assert clipped == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("hertz", [100, 300, 3000])
def test_a_loud_clean_tone_is_not_clipped(hertz: int) -> None:
    tone = (np.round(32767 * np.sin(2 * np.pi * hertz * T + 0.3)) / 32768).astype(np.float32)
    assert flat_tops(tone[None])[0] / len(tone) < 0.001


@given(
    st.integers(1, 9).flatmap(
        lambda width: st.lists(
            st.lists(st.sampled_from([0.1, 0.5, -0.9, 0.9]), min_size=width, max_size=width),
            max_size=4,
        ).map(lambda rows: np.array(rows, np.float32).reshape(-1, width))
    )
)
def test_flat_tops_are_runs_of_three_within_a_moment(rows: np.ndarray) -> None:
    runs = [[list(run) for _, run in groupby(row.tolist())] for row in rows]
    held = [sum(len(r) for r in row if len(r) >= 3 and abs(r[0]) >= 0.5) for row in runs]
    assert flat_tops(rows).tolist() == held


def test_a_reading_begins_anew_and_silence_has_a_level() -> None:
    gauge = gauged(SINE)
    gauge.reading()
    assert gauge.reading().seconds == 0.0
    assert gauged(np.zeros(480)).reading().rms_db == SILENT_DB
    gauge.take(np.zeros((0, 1), np.float32), 48_000)
    assert gauge.reading().rms_db == SILENT_DB


def test_recordings_and_microphones_are_gauged_before_the_offset_is_taken_off(
    tmp_path: Path,
) -> None:
    frames = 0.1 * SINE + 0.25
    path = tmp_path / "offset.wav"
    path.write_bytes(wav((frames * 32768).astype("<i2").tobytes(), rate=48_000))
    recordings = iter([Recording(path)])
    played = PlayedSource(lambda: next(recordings, None), before=0.0, after=0.0)
    assert sum(len(block) for block in played.blocks())
    library = FakeSoundDevice(device("Desk", rate=48_000.0))
    microphone = LastingMicrophone(library=library)
    library.streams[0].feed(frames[:24_000, None])
    blocks = microphone.blocks()
    next(blocks)
    microphone.close()
    for gauge in (played.gauge, microphone.gauge):
        assert gauge.reading().offset_db == pytest.approx(20 * math.log10(0.25), abs=0.1)


def test_speech_over_noise_comes_out_as_mixed() -> None:
    """Speech mixed at 20, 10 and 5 dB over white noise is measured within a decibel."""
    rng = np.random.default_rng(7)
    for snr in (20.0, 10.0, 5.0):
        found = SpeechLevel()
        amplitude = 600 * 10 ** (snr / 20)
        for _ in range(60):
            noise = rng.normal(0, 600, 512)
            found.take(noise.astype(np.int16), speech=False)
            tone = rng.normal(0, amplitude, 512) + rng.normal(0, 600, 512)
            found.take(tone.astype(np.int16), speech=True)
        assert found.snr_db == pytest.approx(snr, abs=1.0)
        assert found.noise_db == pytest.approx(20 * math.log10(600 / 32768), abs=0.5)


def test_without_room_or_speech_there_is_no_ratio() -> None:
    found = SpeechLevel()
    assert found.snr_db is None
    found.take(np.zeros(512, np.int16), speech=False)
    found.take(np.full(512, 900, np.int16), speech=True)
    assert found.snr_db is None
