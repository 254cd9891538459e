"""Playing samples, with a stand-in for the audio library."""

from __future__ import annotations

import numpy as np
import pytest

from callout import portaudio
from callout.errors import DeviceNotFound
from callout.speaking import player
from tests.fakes import FakeSoundDevice, device

TONE = (0.5 * np.sin(2 * np.pi * 440 * np.arange(22_050) / 22_050)).astype(np.float32)


def _use(monkeypatch: pytest.MonkeyPatch, library: FakeSoundDevice) -> FakeSoundDevice:
    monkeypatch.setattr(portaudio, "load_library", lambda: library)
    return library


def test_sound_is_played_at_the_device_s_own_rate(monkeypatch: pytest.MonkeyPatch) -> None:
    library = _use(monkeypatch, FakeSoundDevice(device("Box", inputs=0, outputs=2, rate=48_000.0)))
    player.play_samples(TONE, 22_050)
    ((frames, options),) = library.played
    assert options["samplerate"] == 48_000
    assert frames.shape == (48_000, 1)
    expected = 0.5 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)
    assert np.abs(frames[:, 0] - expected)[500:-500].max() < 0.01


def test_a_device_without_mono_gets_both_channels(monkeypatch: pytest.MonkeyPatch) -> None:
    library = _use(monkeypatch, FakeSoundDevice(device("Box", inputs=0, outputs=2)))
    library.refused_shapes.add((1, 48_000))
    player.play_samples(TONE, 22_050)
    frames = library.played[0][0]
    assert frames.shape[1] == 2
    assert np.array_equal(frames[:, 0], frames[:, 1])


def test_a_refusing_speaker_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    library = _use(monkeypatch, FakeSoundDevice(device("Box", inputs=0, outputs=1)))
    library.refused_shapes.add((1, 48_000))
    with pytest.raises(DeviceNotFound, match="Box cannot be opened"):
        player.play_samples(TONE, 22_050)


def test_no_speaker(monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, FakeSoundDevice(device("Desk microphone")))
    with pytest.raises(DeviceNotFound, match="There is no speaker"):
        player.play_samples(TONE, 22_050)


def test_silence_after_speech_is_not_waited_for() -> None:
    quiet = np.zeros(22_050, np.float32)
    cut = player.without_tail(np.concatenate([quiet, TONE, quiet]), 22_050)
    assert len(cut) == pytest.approx(2 * 22_050, abs=22_050 * 0.03)
    assert len(player.without_tail(quiet, 22_050)) == 0
    assert len(player.without_tail(TONE, 22_050)) >= len(TONE) - 5
