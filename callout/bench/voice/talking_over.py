"""A person talks over the tool without a headset: its voice is cancelled, and the gate decides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from callout.app.listening.recordings import expected_reply
from callout.bench.corpora import OPPOSITE, CorpusRecording
from callout.bench.hearing_trials import Bench
from callout.bench.own_voice import listen_in
from callout.bench.own_voice_scenes import INTO_S, Cue, Scene, bounds
from callout.bench.voice.rooms import Room
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Verdict
from callout.hearing.cabin_noise import speech_rms
from callout.hearing.echo_canceller import STEP
from callout.ports.hearing import SAMPLE_RATE, Samples

LEVELS = (-10.0, 0.0, 6.0)
"""The person relative to the tool's voice at the microphone, in dB."""
LEARNED = 5
"""Challenges heard before the one that is talked over: the way is known, and its rest."""
_PAUSE_S = 1.0


@dataclass(frozen=True, slots=True)
class OverTally:
    """What became of replies over the challenge in one room at one level."""

    name: str
    right: int
    contrary: int
    wrong: int
    replies: int

    def line(self) -> str:
        """Return it in one line."""
        low, high = wilson_interval(self.contrary, self.replies)
        return (
            f"{self.name}: right first time {self.right} of {self.replies}, contrary accepted"
            f" {self.contrary} [{low:.1%}, {high:.1%}], taken for another {self.wrong}"
        )


def scene(room: Room, texts: Sequence[Samples], reply: Samples, level: float) -> Scene:
    """Return what the ear hears: texts one by one, the reply within the last of them."""
    pause = np.zeros(round(_PAUSE_S * SAMPLE_RATE), np.int16)
    parts, spoken, at = [pause], [], len(pause)
    for text in texts:
        spoken.append((at, at + len(text)))
        parts += [text, pause]
        at += len(text) + len(pause)
    played = np.concatenate([*parts, pause])
    played = played[: len(played) // STEP * STEP]
    heard = room.heard(played)
    if len(reply):
        heard = _answered(heard, spoken[-1], reply, level)
    cues: list[tuple[int, Cue]] = [(0, Cue.LISTEN)]
    for begin, end in spoken:
        cues += [(begin, Cue.VOICE), (end, Cue.SILENT)]
    last = spoken[-1][0]
    cues.append((last, Cue.LISTEN))
    in_order = tuple(sorted(cues, key=lambda cue: cue[0]))
    return Scene(heard, in_order, played=played, drift=room.drift)


def _answered(heard: Samples, spoken: tuple[int, int], reply: Samples, level: float) -> Samples:
    begin, end = spoken
    own = speech_rms(heard[begin:end].astype(np.float64))
    voice = reply.astype(np.float64) * 10 ** (level / 20) * own / speech_rms(reply)
    first, _ = bounds(voice)
    at = begin + round(INTO_S * SAMPLE_RATE) - first
    whole = heard.astype(np.float64)
    whole[at : at + len(voice)] += voice[: len(whole) - at]
    result: Samples = np.clip(np.round(whole), -32_768, 32_767).astype(np.int16)
    return result


def own_alone(
    bench: Bench, rooms: Sequence[Room], texts: Sequence[Samples], expects: Sequence[str]
) -> Iterator[tuple[Room, int, int, int]]:
    """Yield room, challenges, those taken for a reply, and those the tool fell silent for."""
    for room in rooms:
        taken = silent = count = 0
        for number in range(0, len(texts) - LEARNED, LEARNED):
            some = texts[number : number + LEARNED + 1]
            expect = expects[number % len(expects)]
            wanted = expected_reply([expect], [OPPOSITE[expect]])
            staged = scene(room, some, np.zeros(0, np.int16), 0.0)
            heard, spoke_up = listen_in(staged, bench.recogniser, bench.candidates(wanted))
            count += len(some)
            taken += sum(bench.acted(h, wanted) for h in heard)
            silent += spoke_up
        yield room, count, taken, silent


def replies_over(
    bench: Bench, rooms: Sequence[Room], texts: Sequence[Samples], people: Sequence[CorpusRecording]
) -> Iterator[OverTally]:
    """Yield what became of each person's word over a challenge, by room and level."""
    for room, level in product(rooms, LEVELS):
        right = contrary = wrong = 0
        for number, person in enumerate(people):
            some = [texts[(number + n) % len(texts)] for n in range(LEARNED + 1)]
            staged = scene(room, some, person.samples, level)
            for expect in (person.said, OPPOSITE[person.said]):
                wanted = expected_reply([expect], [w for w in person.among if w != expect])
                heard, _ = listen_in(staged, bench.recogniser, bench.candidates(wanted))
                trial = bench.outcome(person, "", expect, heard, wanted)
                right += trial.right
                accepted = trial.verdict == Verdict.MATCH.value
                contrary += accepted and expect != person.said
                wrong += expect == person.said and trial.taken_for not in ("", person.said)
        name = f"{room.name}, person at {level:+g} dB"
        yield OverTally(name, right, contrary, wrong, len(people))
