"""What the child process does with the platform's engine."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from callout.errors import EngineUnavailable
from callout.speaking import player, voice_process
from callout.speaking.voice_process import _Voice, answer


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[tuple[np.ndarray, int]]:
    """Collects what would have sounded."""
    sounds: list[tuple[np.ndarray, int]] = []
    monkeypatch.setattr(player, "play", lambda samples, rate: sounds.append((samples, rate)))
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
    return answer(engine, {"do": "say", "text": text, "volume": 1.0, **settings})


def test_the_real_engine_speaks_every_time(
    espeak: _Voice, played: list[tuple[np.ndarray, int]]
) -> None:
    for text in ("Beacon", "Altimeter, two niner niner two", "Beacon"):
        assert _say(espeak, text) == {"ok": True}
    one, two, again = (len(samples) / rate for samples, rate in played)
    assert 0.2 < one < 2
    assert two > one
    assert again == pytest.approx(one, rel=0.1)


_RENDER = """
import json, sys
from pathlib import Path
from callout.speaking import player, voice_process
found = []
player.play = lambda samples, rate: found.append([len(samples) / rate, float(abs(samples).max())])
voice = voice_process._Voice(Path(sys.argv[1]))
reply = voice_process.answer(voice, {"do": "say", "text": "Fuel", **json.loads(sys.argv[2])})
print()
print(json.dumps([reply, *found]))
"""


def _render(folder: Path, **settings: object) -> tuple[dict[str, Any], float, float]:
    """Speak one word in a fresh process: reply, seconds and peak."""
    done = subprocess.run(
        [sys.executable, "-c", _RENDER, str(folder), json.dumps(settings)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    reply, (seconds, peak) = json.loads(done.stdout.splitlines()[-1])
    return reply, seconds, peak


@pytest.mark.usefixtures("espeak")
def test_rate_volume_and_voice_are_heard(tmp_path: Path) -> None:
    _, slow, loud = _render(tmp_path, rate=100)
    _, fast, _ = _render(tmp_path, rate=350)
    _, _, soft = _render(tmp_path, rate=100, volume=0.2)
    assert slow > 1.5 * fast
    assert soft < 0.5 * loud
    british, american = (_render(tmp_path, voice=v) for v in ("en-gb", "en-us"))
    assert british[0] == american[0] == {"ok": True}
    assert british[1:] != american[1:]
    assert "nobody" in _render(tmp_path, voice="nobody")[0]["note"]


def test_voices_are_listed(espeak: _Voice) -> None:
    listed = answer(espeak, {"do": "voices"})["voices"]
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
    monkeypatch.setattr(player, "play", refuse)
    monkeypatch.setattr(voice_process, "_PLAYERS", ([sys.executable, "-c", "import sys"],))
    voice_process._play_file(sound)
    monkeypatch.setattr(voice_process, "_PLAYERS", ([sys.executable, "-c", "raise SystemExit(1)"],))
    with pytest.raises(EngineUnavailable, match="no PortAudio"):
        voice_process._play_file(sound)
