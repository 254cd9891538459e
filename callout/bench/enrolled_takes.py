"""Takes of the shared recordings' speakers in the form that enrolment stores, for speakers with
enough of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from callout.app.listening.enrolling import takes_elsewhere
from callout.app.listening.microphone_booth import Booth, word_set
from callout.bench.corpora import BOTH, CorpusKind, CorpusRecording, framed_recording
from callout.core.model.heard import Heard
from callout.hearing.colour import colour_of
from callout.hearing.embedded.enrolled import EnrolledRecogniser, learn_change
from callout.hearing.embedded.opinions import Impression
from callout.hearing.segmenter import BLOCK
from callout.hearing.voices import Voice, VoiceTake
from callout.hearing.warping import unit_directions, warped_distances
from callout.ports.hearing import Samples

FEWEST_WORDS = 5
"""Different words of a speaker below which there is nothing to enrol."""
SAME = 0.004
"""Warped distance below which two takes are one recording kept under two names."""


class Comparing(EnrolledRecogniser):
    """The shipped recogniser; runs the network once for both ways of hearing a recording."""

    def __init__(self) -> None:
        super().__init__(())
        self._seen: dict[bytes, Impression | None] = {}
        self.decided: dict[str, tuple[Samples, Impression]] = {}
        """The samples of each utterance decided on and what the network made of them, by the
        phrase it was taken for."""

    def impression(self, samples: Samples) -> Impression | None:
        """Return what the network makes of the samples, remembered until ``next_one``."""
        key = samples.tobytes()
        if key not in self._seen:
            self._seen[key] = super().impression(samples)
        return self._seen[key]

    def guess(self) -> Heard:
        """Decide on the samples so far, and remember on what."""
        return self._noted(super().guess)

    def decide(self) -> Heard:
        """Decide, and remember on what."""
        return self._noted(super().decide)

    def _noted(self, decide: Callable[[], Heard]) -> Heard:
        samples = np.concatenate(self._samples) if self._samples else np.zeros(0, np.int16)
        heard = decide()
        if found := self._seen.get(samples.tobytes()):
            self.decided[heard.text] = (samples, found)
        return heard

    def next_one(self) -> None:
        """Forget what is remembered of a recording."""
        self._seen, self.decided = {}, {}


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """A clean recording as it would be enrolled."""

    speaker: str
    names: frozenset[str]
    """Its file names; the same recording is in more than one of the sources."""
    take: VoiceTake
    more: tuple[VoiceTake, ...] = ()
    """As it would have sounded elsewhere."""
    side: int = 0
    """0 or 1: takes of one side are tested with those of the other side enrolled."""


@dataclass(frozen=True, slots=True)
class TakeSound:
    """An utterance given as blocks."""

    samples: Samples
    name: str = "recording"

    def blocks(self) -> Iterator[Samples]:
        """Yield blocks of the segmenter's length."""
        return (self.samples[n : n + BLOCK] for n in range(0, len(self.samples), BLOCK))

    def close(self) -> None:
        """Nothing is open."""


class Speakers:
    """Who said what; enrols a speaker without the takes that are tested together."""

    def __init__(self, spoken: Iterable[SpokenWord]) -> None:
        self._of: dict[str, list[SpokenWord]] = {}
        for one in spoken:
            mine = self._of.setdefault(one.speaker, [])
            earlier = sum(other.take.word == one.take.word for other in mine)
            mine.append(replace(one, side=earlier % 2))
        self._enrolled: dict[tuple[str, int | None], Voice] = {}

    @property
    def names(self) -> tuple[str, ...]:
        """The speakers with enough words, in order."""
        return tuple(s for s in sorted(self._of) if len(self.enrol(s).words) >= FEWEST_WORDS)

    def enrol(self, speaker: str, without: str = "") -> Voice:
        """Return the speaker's voice, without the side of the file called ``without``."""
        mine = self._of.get(speaker, ())
        side = next((one.side for one in mine if without in one.names), None)
        if (speaker, side) not in self._enrolled:
            kept = [one for one in mine if one.side != side]
            voice = Voice(speaker, tuple(one.take for one in kept))
            self._enrolled[speaker, side] = learn_change(
                voice, [t for one in kept for t in one.more]
            )
        return self._enrolled[speaker, side]

    def testable(self, recording: CorpusRecording) -> bool:
        """Say whether enough words, and this very word, remain enrolled without this one."""
        words = self.enrol(recording.speaker, recording.name).words
        return recording.said in words and len(words) >= FEWEST_WORDS


def promising_speakers(recordings: Sequence[CorpusRecording], every: int) -> frozenset[str]:
    """Return every ``every``-th of the speakers who said enough words at least twice."""
    said: dict[str, list[str]] = {}
    for r in recordings:
        if r.kind is CorpusKind.REPLY:
            said.setdefault(r.speaker, []).append(r.said)
    enough = [s for s, w in said.items() if len(set(w)) >= FEWEST_WORDS and len(w) > len(set(w))]
    return frozenset(sorted(enough)[::every])


def enrolled_takes(
    recogniser: Comparing, recordings: Iterable[CorpusRecording]
) -> list[SpokenWord]:
    """Return the takes of the recordings, cut out as enrolment cuts them."""
    found: list[SpokenWord] = []
    chance = random.Random(0)
    for recording in recordings:
        recogniser.next_one()
        said = Booth(TakeSound(framed_recording(recording, None)), recogniser).say(
            "", word_set(BOTH)
        )
        if said is None or (heard := recogniser.impression(said.samples)) is None:
            continue
        take = VoiceTake(recording.said, heard.frames, colour_of(said.samples))
        more = tuple(takes_elsewhere(take, said.samples, recogniser, chance))
        _add(found, SpokenWord(recording.speaker, frozenset({recording.name}), take, more))
    return found


def _add(found: list[SpokenWord], new: SpokenWord) -> None:
    """Add a take, or only its name where it is there already."""
    for place, old in enumerate(found):
        if (old.speaker, old.take.word) == (new.speaker, new.take.word) and _same(old, new):
            found[place] = replace(old, names=old.names | new.names)
            return
    found.append(new)


def _same(one: SpokenWord, other: SpokenWord) -> bool:
    if one.names & other.names:
        return True
    far = warped_distances(unit_directions(one.take.frames), [unit_directions(other.take.frames)])
    return bool(far[0] < SAME)
