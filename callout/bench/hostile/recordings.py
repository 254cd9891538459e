"""Damaged WAV files of every kind that is read, up to the detector of speech."""

from __future__ import annotations

import io
import random
import struct
from pathlib import Path
from typing import Final

import numpy as np

from callout.bench.hostile.damage import damaged_bytes, refusal_word
from callout.errors import CalloutError
from callout.hearing.wav_file import WavSource

_KINDS: Final = (
    ("PCM_16", 1, 16_000), ("PCM_16", 2, 48_000), ("PCM_24", 1, 44_100), ("PCM_32", 2, 8_000),
    ("PCM_U8", 1, 11_025), ("FLOAT", 1, 22_050), ("DOUBLE", 3, 96_000), ("ULAW", 1, 8_000),
    ("ALAW", 1, 8_000), ("IMA_ADPCM", 1, 16_000), ("MS_ADPCM", 2, 22_050),
)  # fmt: skip
_CONTAINERS: Final = ("WAV", "WAVEX", "RF64", "W64", "AIFF", "FLAC")
_HEADER: Final = 80
"""Bytes: damage there leads furthest."""
_EXTREME: Final = (0, 1, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF, 384_000, 384_001)


class Recordings:
    """A tenth of a second of sound, in many formats."""

    suffix = ".wav"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._path = where / "fuzz.wav"
        self._whole = list(_written())
        self.take(self._whole[0])

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged file."""
        data = rng.choice(self._whole)
        match rng.randrange(4):
            case 0:
                return damaged_bytes(rng, data)
            case 1:
                return damaged_bytes(rng, data[:_HEADER]) + data[_HEADER:]
            case 2:
                at, value = rng.randrange(4, _HEADER - 4), rng.choice(_EXTREME)
                return data[:at] + struct.pack("<I", value) + data[at + 4 :]
        some = np.frombuffer(rng.randbytes(64), np.float32)
        return data[:_HEADER] + some.tobytes() * rng.randrange(1, 40)

    def take(self, data: bytes) -> str:
        """Read it block by block."""
        self._path.write_bytes(data)
        source = None
        try:
            source = WavSource(self._path)
            for block in source.blocks():
                assert block.shape == (512,)
                assert block.dtype == np.int16
        except CalloutError as error:
            return refusal_word(error)
        finally:
            if source:
                source.close()
        return "taken"


def _written() -> list[bytes]:
    import soundfile

    made = []
    for subtype, channels, rate in _KINDS:
        wave = 0.3 * np.sin(np.arange(rate // 10) / 9.0)
        frames = np.tile(wave[:, None], (1, channels))
        for container in _CONTAINERS:
            if soundfile.check_format(container, subtype):
                file = io.BytesIO()
                soundfile.write(file, frames, rate, subtype, format=container)
                made.append(file.getvalue())
    return made
