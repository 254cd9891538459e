"""A word is heard wherever the time for it ends: before it, at its first sound, or within it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

import numpy as np
import pytest

from callout.app.listening.engines import open_recogniser
from callout.app.listening.microphone_booth import PATIENCE_S, Booth, word_set
from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.hearing.level import Gauge
from callout.hearing.segmenter import BLOCK, BLOCK_SECONDS
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import Recogniser, Samples

pytestmark = pytest.mark.audio
AMONG = word_set(("on", "off", "set"))
SOUND = read_wav(shipped_folder(RECORDINGS) / "human" / "off.wav")
PATIENCE = round(PATIENCE_S / BLOCK_SECONDS)


class Room:
    """Silence, one recording, silence."""

    name = "room"

    def __init__(self, before: int) -> None:
        self.gauge = Gauge()
        self._before = before

    def blocks(self) -> Iterator[Samples]:
        silence = np.zeros(BLOCK, np.int16)
        sound = np.pad(SOUND, (0, -len(SOUND) % BLOCK)).reshape(-1, BLOCK)
        yield from chain([silence] * self._before, sound, [silence] * 2 * PATIENCE)

    def close(self) -> None:
        """Nothing is open."""


@pytest.fixture(scope="module")
def recogniser() -> Iterator[Recogniser]:
    made = open_recogniser("auto")
    yield made
    made.close()


def first_sound() -> int:
    """Return the block of the recording in which its sound begins."""
    loud = np.flatnonzero(np.abs(SOUND.astype(np.int32)) > np.abs(SOUND).max() // 10)
    return int(loud[0]) // BLOCK


@pytest.mark.parametrize("blocks", [-20, -4, -2, -1, 0, 1, 2, 3, 5, 8, 12, 20])
def test_a_word_at_the_end_of_the_time_is_heard_whole(recogniser: Recogniser, blocks: int) -> None:
    """blocks: how much of it is heard before the time ends; below 0: it begins after that."""
    booth = Booth(Room(PATIENCE - first_sound() - blocks), recogniser)
    said = booth.say("", AMONG) or booth.say("", AMONG)
    assert said is not None
    assert said.heard.sure
    assert said.heard.text == "off"
    assert booth.say("", AMONG) is None, "nothing of it is heard twice"


def test_other_phrases_are_listened_for_at_once(recogniser: Recogniser) -> None:
    """What was heard of a word is not judged among the phrases of another question."""
    booth = Booth(Room(PATIENCE - first_sound() - 2), recogniser)
    assert booth.say("", word_set(())) is not None
    assert booth.say("", AMONG) is None
