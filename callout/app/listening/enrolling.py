"""Enrolment: a person says common words a few times, so that the recogniser learns their voice."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from callout.app.listening.microphone_booth import Booth, BoothWord, word_set
from callout.core.sentences import files
from callout.core.sentences import sound as sentences
from callout.errors import AudioInvalid, CalloutError
from callout.hearing.another_take import another_take
from callout.hearing.colour import colour_of
from callout.hearing.embedded.enrolled import learn_change
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.voices import Floats, Voice, VoiceTake
from callout.hearing.warping import unit_directions, warped_distances
from callout.journal.sound_files import wav_bytes
from callout.ports.hearing import Samples

WORDS = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    "on", "off", "up", "down", "left", "right", "open", "closed", "set", "checked", "yes", "no",
)  # fmt: skip
"""The words to enrol: digits, and the most frequent states and directions of lists."""

TAKES = 3
OTHER_TAKES = 4
"""Simulated variants of each take that are also learnt from."""
TRIES = 3
"""Number of requests for a take before the word is left out."""
FEWEST = 8
"""Words below which an enrolment is discarded: too little to recognise a voice by."""
UNLIKE = 0.12
"""Warped distance from earlier takes above which a take is requested again."""


class EnrolmentFailed(CalloutError):
    """Too few words were understood to learn a voice."""


@dataclass(frozen=True, slots=True)
class Step:
    """One requested word, and the reason if it is requested again."""

    word: str
    number: int
    """1, 2, 3 ... of ``total``."""
    total: int
    """Number of takes for all words together."""
    again: str = ""


@dataclass(frozen=True, slots=True)
class Enrolment:
    """What was said, and the sound of each take."""

    voice: Voice
    sounds: tuple[Samples, ...]


def record_takes(
    name: str,
    booth: Booth,
    recogniser: EmbeddedRecogniser,
    ask: Callable[[Step], None],
    *,
    takes: int = TAKES,
    keep: Path | None = None,
) -> Enrolment:
    """Request every word ``takes`` times and return what was said; ``learn_voice`` uses it.

    ask: shows what to say next. keep: folder for the recordings themselves, if wanted. Raises
    EnrolmentFailed if too few words were understood.
    """
    kept: list[VoiceTake] = []
    sounds: list[Samples] = []
    for step in _take_steps(takes):
        if booth.ended:
            break
        if found := _record_take(step, kept, booth, recogniser, ask, keep):
            kept.append(found[0])
            sounds.append(found[1])
    voice = Voice(name, tuple(kept))
    if len(voice.words) < FEWEST:
        raise EnrolmentFailed(
            sentences.too_few_words(len(voice.words), len(WORDS)),
            sentences.TRY_MICROPHONE_FIRST,
        )
    return Enrolment(voice, tuple(sounds))


def learn_voice(enrolment: Enrolment, recogniser: EmbeddedRecogniser) -> Voice:
    """Return the voice with what was learnt; takes about a quarter of a second per take.

    Each take is also learnt as it would have sounded in other rooms and in noise.
    """
    chance = random.Random(0)
    more: list[VoiceTake] = []
    for take, samples in zip(enrolment.voice.takes, enrolment.sounds, strict=True):
        more += takes_elsewhere(take, samples, recogniser, chance)
    return learn_change(enrolment.voice, more)


def takes_elsewhere(
    take: VoiceTake, samples: Samples, recogniser: EmbeddedRecogniser, chance: random.Random
) -> Iterator[VoiceTake]:
    """Yield the take as it would have sounded in other rooms; samples: its sound."""
    for _ in range(OTHER_TAKES):
        frames = recogniser.frames(another_take(samples, chance))
        yield VoiceTake(take.word, frames, take.colour)


def _take_steps(takes: int) -> Iterator[Step]:
    """Yield the words round by round: consecutive takes of one word sound alike."""
    total = takes * len(WORDS)
    for number in range(total):
        yield Step(WORDS[number % len(WORDS)], number + 1, total)


def _record_take(
    step: Step,
    kept: list[VoiceTake],
    booth: Booth,
    recogniser: EmbeddedRecogniser,
    ask: Callable[[Step], None],
    keep: Path | None,
) -> tuple[VoiceTake, Samples] | None:
    again = ""
    for _ in range(TRIES):
        ask(Step(step.word, step.number, step.total, again))
        said = booth.say(step.word, word_set(WORDS))
        if said is None:
            if booth.ended:
                return None
            again = sentences.NOTHING_HEARD
            continue
        impression = recogniser.impression(said.samples)
        frames = None if impression is None else impression.frames
        again = sentences.TOO_SHORT if frames is None else _doubt_about(said, frames, kept)
        if frames is not None and not again:
            if keep:
                _write_recording(keep / f"{step.number:03}-{step.word}.wav", said)
            return VoiceTake(step.word, frames, colour_of(said.samples)), said.samples
    return None


def _doubt_about(said: BoothWord, frames: Floats, kept: list[VoiceTake]) -> str:
    """Return why a take is doubtful: a wrong one, once kept, would do lasting harm."""
    if said.heard.sure and said.heard.text != said.wanted:
        return sentences.sounded_like(said.heard.text)
    others = [take for take in kept if take.frames.size]
    if not others:
        return "" if said.right else sentences.NOT_CLEAR
    far = warped_distances(
        unit_directions(frames), [unit_directions(take.frames) for take in others]
    )
    near = others[int(far.argmin())].word
    own = [float(d) for d, take in zip(far, others, strict=True) if take.word == said.wanted]
    if own and near != said.wanted:
        return sentences.sounded_like_enrolled(near)
    if own and min(own) > UNLIKE:
        return sentences.UNLIKE_OTHER_TAKE
    return "" if own or said.heard.text == said.wanted else sentences.NOT_CLEAR


def _write_recording(path: Path, said: BoothWord) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(wav_bytes(said.samples))
    except OSError as error:
        raise AudioInvalid(files.file_unwritable(path, error)) from error
