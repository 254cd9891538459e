"""A room with a microphone in it, and somebody who speaks there."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import numpy as np

from callout.hearing.level import Gauge
from callout.hearing.resample import ToPort
from callout.ports.hearing import Samples
from callout.speaking.embedded.rendering import FIRST, Renderer
from callout.speaking.embedded.waveform import RATE

BLOCK = 512


def speaker() -> Callable[[str], Samples]:
    """Return what makes samples of words: the built-in voice."""
    renderer = Renderer.shipped()

    def say(words: str) -> Samples:
        sound = np.concatenate(list(renderer.sentences(words, 150, FIRST)))
        return ToPort(RATE, Gauge()).convert(sound[:, None].astype(np.float32), last=True)

    return say


class Room:
    """What a microphone hears: silence, and whatever is said into it."""

    def __init__(self) -> None:
        self.said: list[Samples] = []
        self.opened = 0
        self.open = 0
        self.sounding = False
        """Something said is still being heard."""

    def source(self) -> Microphone:
        self.opened += 1
        self.open += 1
        return Microphone(self)


class Microphone:
    """One opening of it."""

    name = "room"

    def __init__(self, room: Room) -> None:
        self._room, self._closed = room, False
        self.gauge = Gauge()

    def blocks(self) -> Iterator[Samples]:
        while not self._closed:
            self._room.sounding = bool(self._room.said)
            if not self._room.said:
                time.sleep(0.004)
                yield np.zeros(BLOCK, np.int16)
                continue
            sound = np.pad(self._room.said.pop(0), (BLOCK * 10, BLOCK * 50))
            for at in range(0, len(sound) - BLOCK, BLOCK):
                if self._closed:
                    return
                yield sound[at : at + BLOCK]

    def close(self) -> None:
        self._room.open -= not self._closed
        self._room.sounding = False
        self._closed = True
