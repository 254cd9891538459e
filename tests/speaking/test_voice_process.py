"""What the child process does with the platform's engine."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from callout import portaudio
from callout.errors import EngineUnavailable
from callout.speaking import player, voice_process
from callout.speaking.voice_process import _Voice, answer_request


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[tuple[np.ndarray, int]]:
    """Collects what would have sounded."""
    sounds: list[tuple[np.ndarray, int]] = []
    monkeypatch.setattr(
        player, "play_samples", lambda samples, rate: sounds.append((samples, rate))
    )
    return sounds


@pytest.fixture
def espeak(tmp_path: Path) -> _Voice:
    """The real engine where this platform uses espeak-ng and it is installed."""
    voice = _Voice(tmp_path)
    try:
        name = voice.engine().driver_name
    except EngineUnavailable as error:
        pytest.skip(error.message)
    if name != "espeak":
        pytest.skip(f"this platform speaks through {name}")
    return voice


def _say(engine: _Voice, text: str, **settings: object) -> dict[str, Any]:
    return answer_request(engine, {"do": "say", "text": text, "volume": 1.0, **settings})


def test_the_real_engine_speaks_every_time_and_to_the_end(
    espeak: _Voice, played: list[tuple[np.ndarray, int]]
) -> None:
    long = "Altimeter, two niner niner two, set and cross checked on both sides. " * 4
    for text in ("Beacon", long, "Beacon", long):
        assert _say(espeak, text) == {"ok": True}
    one, two, one_again, two_again = (len(samples) / rate for samples, rate in played)
    assert 0.2 < one < 2
    assert two > 8
    assert one_again == pytest.approx(one, rel=0.1)
    assert two_again == pytest.approx(two, rel=0.05)


def test_each_setting_holds_for_the_very_next_word(
    espeak: _Voice, played: list[tuple[np.ndarray, int]]
) -> None:
    for rate, volume in [(100, 1.0), (350, 1.0), (100, 0.2), (350, 0.2), (100, 1.0)]:
        assert _say(espeak, "Fuel quantity", rate=rate, volume=volume)["ok"]
    lengths = [len(samples) for samples, _ in played]
    peaks = [float(np.abs(samples).max()) for samples, _ in played]
    assert min(lengths[0], lengths[2], lengths[4]) > 1.5 * max(lengths[1], lengths[3])
    assert min(peaks[0], peaks[1], peaks[4]) > 2 * max(peaks[2], peaks[3])


def test_a_voice_is_heard_and_an_unknown_one_noted(
    espeak: _Voice, played: list[tuple[np.ndarray, int]]
) -> None:
    for name in ("", "de", None):
        assert answer_request(espeak, {"do": "say", "text": "Gear", "voice": name}) == {"ok": True}
    usual, german, usual_again = (len(samples) for samples, _ in played)
    assert usual != pytest.approx(german, rel=0.02)
    assert usual == pytest.approx(usual_again, rel=0.02)
    request = {"do": "say", "text": "Flaps", "voice": "nobody"}
    assert "nobody" in answer_request(espeak, request)["note"]
    assert "nobody" in answer_request(espeak, request)["note"]


@pytest.mark.parametrize("text", ["\x00", "\u2708", "...", "\n", "<mark name='x'/>"])
def test_text_that_has_no_sound_is_over_at_once(
    espeak: _Voice, played: list[tuple[np.ndarray, int]], text: str
) -> None:
    assert "ok" in _say(espeak, text)


def test_voices_are_listed(espeak: _Voice) -> None:
    listed = answer_request(espeak, {"do": "voices"})["voices"]
    assert any("en-us" in row["languages"] for row in listed)
    assert all(row["id"] and row["name"] for row in listed)


class _Native:
    """An engine that plays by itself, as on macOS and Windows."""

    driver_name = "native"

    def __init__(self, waits: bool) -> None:
        self.waits = waits
        self.said: list[str] = []

    def setProperty(self, name: str, value: object) -> None:
        """Settings are taken."""

    def say(self, text: str) -> None:
        self.said.append(text)

    def runAndWait(self) -> None:
        if self.waits:
            time.sleep(0.05)


@pytest.mark.parametrize("waits", [True, False])
def test_an_engine_that_comes_back_without_speaking_is_found_out(
    tmp_path: Path, waits: bool
) -> None:
    voice = _Voice(tmp_path)
    voice._engine = _Native(waits)
    reply = _say(voice, "Beacon")
    assert reply["ok"] == waits
    assert voice._engine.said == ["Beacon"]


def test_no_engine_is_one_plain_reply(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def init() -> None:
        raise KeyError(None)

    monkeypatch.setitem(sys.modules, "pyttsx3", SimpleNamespace(init=init))
    reply = _say(_Voice(tmp_path), "Beacon")
    assert not reply["ok"]
    assert reply["error"].startswith("No voice can be started")


def test_without_portaudio_a_program_plays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(samples: object, rate: int) -> None:
        raise EngineUnavailable("no PortAudio", "install it")

    sound = tmp_path / "speech.wav"
    import soundfile

    soundfile.write(sound, np.zeros(100, np.int16), 16_000)
    monkeypatch.setattr(player, "play_samples", refuse)
    monkeypatch.setattr(portaudio, "PLAYERS", ([sys.executable, "-c", "import sys"],))
    voice_process._play_file(sound)
    monkeypatch.setattr(portaudio, "PLAYERS", ([sys.executable, "-c", "raise SystemExit(1)"],))
    with pytest.raises(EngineUnavailable, match="no PortAudio"):
        voice_process._play_file(sound)
