"""A real capture through PortAudio from a virtual microphone, lost and found again."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from tests.sound_server import SoundServer, usable

pytestmark = pytest.mark.skipif(not usable(), reason="PulseAudio with its ALSA plugin is needed")

_LISTEN = """
import sys
import numpy as np
from callout.errors import DeviceNotFound
from callout.hearing.microphone import MicrophoneSource

def loudest(blocks):
    heard = np.concatenate([next(blocks) for _ in range(32)]).astype(float)
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(len(heard))))
    return round(float(spectrum.argmax()) * 16_000 / len(heard))

source = MicrophoneSource("room")
blocks = iter(source.blocks())
print("open", source.name, source.rate, flush=True)
input()
for _ in range(40):
    next(blocks)
print("hears", loudest(blocks), source.dropped, flush=True)
input()
try:
    while True:
        next(blocks)
except DeviceNotFound as error:
    print("lost", error.message, flush=True)
try:
    source.reopen()
except DeviceNotFound as error:
    print("gone", error.message, flush=True)
input()
source.reopen()
blocks = iter(source.blocks())
print("again", len(next(blocks)), flush=True)
source.close()
print("ended", next(blocks, None), flush=True)
"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[SoundServer]:
    made = SoundServer(tmp_path)
    made.start()
    yield made
    made.stop()


def _told(listener: subprocess.Popen[str]) -> str:
    assert listener.stdout
    return listener.stdout.readline().strip()


def _go_on(listener: subprocess.Popen[str]) -> None:
    assert listener.stdin
    listener.stdin.write("\n")
    listener.stdin.flush()


def test_a_real_device_is_heard_lost_and_found(server: SoundServer, tmp_path: Path) -> None:
    raw = tmp_path / "tone.raw"
    tone = 0.5 * np.sin(2 * np.pi * 1000 * np.arange(44_100 * 20) / 44_100)
    raw.write_bytes((tone * 32767).astype("<i2").tobytes())
    with subprocess.Popen(
        [sys.executable, "-c", _LISTEN],
        env=server.environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as listener:
        assert _told(listener) == "open room 44100"
        player = server.play_into_room(raw, 44_100)
        _go_on(listener)
        word, hertz, dropped = _told(listener).split()
        assert (word, dropped) == ("hears", "0")
        assert abs(int(hertz) - 1000) < 5
        server.stop()
        player.wait()
        _go_on(listener)
        assert _told(listener).startswith("lost The microphone room has stopped sending sound")
        assert _told(listener).startswith("gone")
        server.start()
        _go_on(listener)
        assert _told(listener) == "again 512"
        assert _told(listener) == "ended None"
    assert listener.returncode == 0


_SPEAK = """
from callout.speaking.voice import ChildVoice, voice_available
print(voice_available()[0])
voice = ChildVoice(volume=0.5)
print(voice.say("beacon"), voice.failure)
voice.close()
"""


def test_the_voice_sounds_through_a_real_output(server: SoundServer) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _SPEAK],
        env=server.environment,
        capture_output=True,
        text=True,
        timeout=600,
        check=True,
    )
    able, spoken = done.stdout.splitlines()
    if able == "False":
        pytest.skip("no voice is installed")
    assert spoken.strip() == "True"
    assert done.stderr == ""
