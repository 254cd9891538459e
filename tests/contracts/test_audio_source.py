"""What every source of sound promises (callout/ports/hearing.py)."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from callout.hearing.lasting import LastingMicrophone
from callout.hearing.microphone import MicrophoneSource
from callout.hearing.played import PlayedSource, Recording
from callout.hearing.wav_file import WavSource
from callout.ports.hearing import AudioSource
from tests.fakes import FakeSoundDevice, device
from tests.hearing.wav_bytes import wav

SECOND = (8000 * np.sin(2 * np.pi * 300 * np.arange(48_000) / 48_000)).astype("<i2")


def _wav(folder: Path, **options: bool) -> WavSource:
    path = folder / "second.wav"
    path.write_bytes(wav(SECOND.tobytes(), rate=48_000))
    return WavSource(path, **options)


def _microphone(folder: Path) -> MicrophoneSource:
    library = FakeSoundDevice(device("Desk", rate=48_000.0))
    source = MicrophoneSource(library=library)
    for start in range(0, len(SECOND), 480):
        library.streams[0].feed(SECOND[start : start + 480, None] / 32768)
    return source


def _lasting(folder: Path) -> LastingMicrophone:
    library = FakeSoundDevice(device("Desk", rate=48_000.0))
    source = LastingMicrophone(library=library)
    for start in range(0, len(SECOND), 480):
        library.streams[0].feed(SECOND[start : start + 480, None] / 32768)
    return source


def _played(folder: Path) -> PlayedSource:
    recordings = iter([Recording(_wav(folder).path)])
    return PlayedSource(lambda: next(recordings, None), before=0.0)


MAKERS: dict[str, Callable[[Path], AudioSource]] = {
    "wav": _wav,
    "wav, paced": lambda folder: _wav(folder, realtime=True),
    "recordings": _played,
    "microphone": _microphone,
    "lasting microphone": _lasting,
}


@pytest.fixture(params=MAKERS)
def source(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[AudioSource]:
    made = MAKERS[request.param](tmp_path)
    yield made
    made.close()


def test_blocks_are_32_ms_of_16_bit_mono(source: AudioSource) -> None:
    blocks = iter(source.blocks())
    heard = [next(blocks) for _ in range(20)]
    assert all(b.shape == (512,) and b.dtype == np.int16 for b in heard)
    joined = np.concatenate(heard).astype(float)
    expected = 8000 * np.sin(2 * np.pi * 300 * np.arange(len(joined)) / 16_000)
    assert np.abs(joined - expected)[500:].max() < 100


def test_close_ends_iteration_and_may_be_called_again(source: AudioSource) -> None:
    blocks = iter(source.blocks())
    next(blocks)
    closer = threading.Thread(target=source.close)
    closer.start()
    closer.join()
    source.close()
    assert sum(1 for _ in blocks) <= 1


def test_it_has_a_name(source: AudioSource) -> None:
    assert source.name
