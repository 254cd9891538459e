"""Recordings, one after another, instead of a microphone."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from callout.core.sentences import authoring as sentences
from callout.core.sentences import sound_devices
from callout.errors import AudioInvalid
from callout.hearing.level import Gauge
from callout.hearing.wav_file import WavSource
from callout.ports.hearing import SAMPLE_RATE, Samples

BLOCK = 512
"""Samples in a block: 32 ms, one frame of the voice activity detector."""
BLOCK_S = BLOCK / SAMPLE_RATE


@dataclass(frozen=True, slots=True)
class Recording:
    """One WAV file and its words, if known."""

    path: Path
    words: str = ""


class PlayedSource:
    """Plays what ``choose`` names next, with silence around it, until it names None.

    before, after: seconds of silence on either side; ``after`` outlasts the wait for more digits,
    and the choice is made once ``before`` has been taken. speed: 1.0 gives a block no sooner than a
    microphone would, 2.0 twice as fast; 0 at once. on_play: is given each recording as it begins,
    in the thread that iterates ``blocks``.
    """

    def __init__(
        self,
        choose: Callable[[], Recording | None],
        *,
        before: float = 0.5,
        after: float = 1.2,
        speed: float = 0.0,
        on_play: Callable[[Recording], None] = lambda recording: None,
        name: str = "recordings",
    ) -> None:
        self.name = name
        self.gauge = Gauge()
        """Level in the recordings, for what ``blocks`` has given."""
        self._choose = choose
        self._before, self._after = before, after
        self._pause = BLOCK_S / speed if speed else 0.0
        self._on_play = on_play
        self._closed = threading.Event()
        self._playing: WavSource | None = None
        self._due = 0.0

    def blocks(self) -> Iterator[Samples]:
        """Yield int16 blocks of exactly 512 samples; raises AudioInvalid at an unusable file."""
        for block in self._all():
            self._wait()
            if self._closed.is_set():
                return
            yield block

    def close(self) -> None:
        """Stop playing; safe to call twice and from another thread."""
        self._closed.set()
        if playing := self._playing:
            playing.close()

    def _all(self) -> Iterator[Samples]:
        """Choose after the silence: a block is fetched before it is known who listens to it."""
        while True:
            yield from _silent_blocks(self._before)
            if (recording := self._choose()) is None:
                return
            self._playing = WavSource(recording.path, gauge=self.gauge)
            self._on_play(recording)
            yield from self._playing.blocks()
            self._playing.close()
            yield from _silent_blocks(self._after)

    def _wait(self) -> None:
        """Keep time from block to block; lost time is not made up."""
        if not self._pause:
            return
        now = time.monotonic()
        self._due = max(self._due + self._pause, now)
        self._closed.wait(self._due - now)


def recordings_in(places: Iterable[Path]) -> list[Recording]:
    """Return WAV files and the WAV files of folders, by name; raises AudioInvalid for none."""
    found: list[Path] = []
    for place in places:
        if not place.exists():
            raise AudioInvalid(sentences.no_such_file(place), sentences.CHECK_NAME)
        inside = (
            sorted(p for p in place.iterdir() if p.suffix.lower() == ".wav")
            if (place.is_dir())
            else [place]
        )
        if not inside:
            raise AudioInvalid(sound_devices.no_wav_file(place), sound_devices.NO_WAV_HINT)
        found += inside
    return [Recording(path) for path in found]


def _silent_blocks(seconds: float) -> Iterator[Samples]:
    for _ in range(round(seconds / BLOCK_S)):
        yield np.zeros(BLOCK, np.int16)
