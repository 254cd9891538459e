"""A WAV file instead of a microphone."""

from __future__ import annotations

import os
import struct
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from callout.core.sentences import authoring
from callout.core.sentences import sound_devices as sentences
from callout.errors import AudioInvalid, EngineUnavailable
from callout.hearing.level import Gauge
from callout.hearing.resample import Blocks, Floats, ToPort
from callout.ports.hearing import SAMPLE_RATE, Samples

if TYPE_CHECKING:
    import soundfile

BLOCK = 512
"""Samples in a block: 32 ms, one frame of the voice activity detector."""

_READ_VALUES = 65_536
"""Frames times channels read at once; bounds memory whatever the header claims."""
_RATES = range(8_000, 384_001)
_FORMATS = {"WAV", "WAVEX", "RF64"}
_RECORD_AGAIN = sentences.WAV_HINT


class WavSource:
    """Streams a WAV file as port samples; never holds more than a moment of it.

    Accepts 8 to 384 kHz, any channel count, 8 to 32-bit PCM, 32 and 64-bit float, plain, extensible
    and RF64 headers. A truncated file is read as far as it goes and ``cut_short`` is True. Raises
    AudioInvalid, here for a bad file and from ``blocks`` for damage further in.
    """

    def __init__(
        self,
        path: str | os.PathLike[str],
        *,
        realtime: bool = False,
        gauge: Gauge | None = None,
    ) -> None:
        self.path = Path(path)
        self.gauge = gauge or Gauge()
        """Level in the file, for what has been read of it."""
        self.name = self.path.name
        self.cut_short = _check_header(self.path)
        self._realtime = realtime
        self._closed = threading.Event()
        self._reading = threading.Lock()
        self._file = _open_wav(self.path)
        self.rate: int = self._file.samplerate
        self.channels: int = self._file.channels
        self.seconds: float = self._file.frames / self.rate

    def blocks(self) -> Iterator[Samples]:
        """Yield int16 blocks of exactly 512 samples; the last is padded with zeros.

        Starts again from the beginning on each call. With ``realtime``, a block comes no earlier
        than a microphone would give it.
        """
        cutter = Blocks(BLOCK)
        started = time.monotonic()
        for given, block in enumerate(self._cut(cutter), start=1):
            if self._realtime:
                self._closed.wait(
                    max(0.0, started + given * BLOCK / SAMPLE_RATE - time.monotonic())
                )
            if self._closed.is_set():
                return
            yield block

    def _cut(self, cutter: Blocks) -> Iterator[Samples]:
        for samples in self.samples():
            yield from cutter.push(samples)
        yield from cutter.flush()

    def samples(self) -> Iterator[Samples]:
        """Yield the whole recording from its beginning in runs of any length, unpadded."""
        convert = ToPort(self.rate, self.gauge)
        at_once = max(1, _READ_VALUES // self.channels)
        self._seek_start()
        while len(frames := self._read(at_once)):
            yield convert.convert(frames)
        yield convert.convert(np.zeros((0, self.channels), np.float32), last=True)

    def _seek_start(self) -> None:
        with self._reading:
            if not self._closed.is_set():
                self._file.seek(0)

    def _read(self, count: int) -> Floats:
        with self._reading:
            if self._closed.is_set():
                return np.zeros((0, self.channels), np.float32)
            try:
                frames: Floats = self._file.read(count, dtype="float32", always_2d=True)
            except RuntimeError as error:
                raise _invalid_audio(self.path, f"is damaged: {_plain_error(error)}") from error
        return frames

    def close(self) -> None:
        """Stop and free the file; safe to call twice and from another thread."""
        self._closed.set()
        with self._reading:
            self._file.close()


def read_wav(path: str | os.PathLike[str]) -> Samples:
    """Return a whole recording as int16 mono 16 kHz samples; raises AudioInvalid."""
    source = WavSource(path)
    try:
        return np.concatenate(list(source.samples()))
    finally:
        source.close()


def _check_header(path: Path) -> bool:
    """Refuse anything but a WAV file; return True if the file ends before its header says."""
    try:
        if path.is_dir():
            raise _invalid_audio(path, "is a directory")
        if path.exists() and not path.is_file():
            raise _invalid_audio(path, "is not a regular file")
        with path.open("rb") as stream:
            head = stream.read(12)
        size = path.stat().st_size
    except (OSError, ValueError) as error:
        raise _invalid_audio(
            path, f"cannot be read: {_plain_error(error)}", authoring.CHECK_NAME
        ) from error
    if not head:
        raise _invalid_audio(path, "is empty")
    if len(head) < 12 or head[:4] not in (b"RIFF", b"RIFX", b"RF64") or head[8:] != b"WAVE":
        raise _invalid_audio(path, "is not a WAV file")
    (claimed,) = struct.unpack(">I" if head[:4] == b"RIFX" else "<I", head[4:8])
    return head[:4] == b"RIFF" and size - 8 < claimed < 0x7FFF0000


def _open_wav(path: Path) -> soundfile.SoundFile:
    try:
        import soundfile
    except (ImportError, OSError) as error:
        raise EngineUnavailable(
            f"The sound file library cannot be loaded: {_plain_error(error)}",
            "Install it: pip install --force-reinstall soundfile",
        ) from error
    try:
        file = soundfile.SoundFile(path)
    except (RuntimeError, TypeError, ValueError, OSError) as error:
        raise _invalid_audio(path, f"is not a usable WAV file: {_plain_error(error)}") from error
    trouble = _what_is_wrong(file, path)
    if trouble:
        file.close()
        raise _invalid_audio(path, trouble)
    return file


def _what_is_wrong(file: soundfile.SoundFile, path: Path) -> str:
    if file.format not in _FORMATS:
        return f"is not a WAV file but {file.format}"
    if file.samplerate not in _RATES:
        return f"has {file.samplerate} samples a second, outside {_RATES[0]} to {_RATES[-1]}"
    if not file.seekable():
        return "cannot be rewound"
    if file.frames == 0 and _is_unfinished(path):
        return "is incomplete: its header counts no samples although data follow"
    return ""


def _is_unfinished(path: Path) -> bool:
    """Say whether an empty header is followed by sound, as a killed recorder leaves it.

    A header gives the number of bytes after it; one that was never completed does not.
    """
    with path.open("rb") as stream:
        head = stream.read(8)
    (claimed,) = struct.unpack("<I", head[4:8])
    return head[:4] == b"RIFF" and claimed + 8 + 64 < path.stat().st_size


def _plain_error(error: BaseException) -> str:
    text = getattr(error, "error_string", None) or getattr(error, "strerror", None) or str(error)
    return str(text).rstrip(". ")


def _invalid_audio(path: Path, what: str, hint: str = _RECORD_AGAIN) -> AudioInvalid:
    return AudioInvalid(f"{path} {what}.", hint)
