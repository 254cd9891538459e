"""A person talks over the tool without a headset: its voice is cancelled, and the gate decides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

import numpy as np

from callout.app.listening.recordings import expected_reply
from callout.bench.corpora import OPPOSITE, CorpusRecording, Floats
from callout.bench.hearing_trials import Bench
from callout.bench.own_voice_scenes import INTO_S, Cue, Scene, speech_bounds
from callout.bench.staged import Learned, learn_scene, listen_in
from callout.bench.voice.rooms import Room
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Verdict
from callout.hearing.cabin_noise import speech_rms
from callout.hearing.echo_canceller import STEP
from callout.hearing.segmenter import BLOCK
from callout.ports.hearing import SAMPLE_RATE, Samples

ECHO_LEVELS = (-10.0, 0.0, 6.0)
"""The tool's voice at the microphone relative to the person, in dB."""
LEARNED = 8
"""Challenges heard before the one that is talked over, so that the path and the remainder are
known.
"""
_PAUSE_S = 1.0


@dataclass
class OverTally:
    """Results for replies over the challenge at one level."""

    level: float
    replies: int = 0
    right: int = 0
    contrary: int = 0
    wrong: int = 0
    noticed: int = 0
    silent_s: list[float] = field(default_factory=list)
    """From the person's first sound to the silence of the voice."""

    def line(self) -> str:
        """Return it in one line."""
        low, high = wilson_interval(self.contrary, self.replies)
        least, most = wilson_interval(self.right, self.replies)
        after = f"{1000 * median(self.silent_s):.0f} ms" if self.silent_s else "never"
        return (
            f"voice {self.level:+g} dB to the person: right first time {self.right} of"
            f" {self.replies} [{least:.0%}, {most:.0%}], contrary accepted {self.contrary}"
            f" [{low:.1%}, {high:.1%}], taken for another {self.wrong}, heard over the voice"
            f" {self.noticed}, silent after {after} (median)"
        )


def talking_scene(room: Room, texts: Sequence[Samples], reply: Samples, level: float) -> Scene:
    """Return what the ear hears: texts one by one, the reply within the last of them.

    level: the person relative to the tool's voice at the microphone, in dB.
    """
    pause = np.zeros(round(_PAUSE_S * SAMPLE_RATE), np.int16)
    parts, spoken, at = [pause], [], len(pause)
    for text in texts:
        spoken.append((at, at + len(text)))
        parts += [text, pause]
        at += len(text) + len(pause)
    played = np.concatenate([*parts, pause])
    played = played[: len(played) // STEP * STEP]
    heard = room.heard(played)
    voice = _voice_in(heard, spoken[-1], reply, level) if len(reply) else np.zeros(len(heard))
    cues: list[tuple[int, Cue]] = [(0, Cue.LISTEN)]
    for begin, end in spoken:
        cues += [(begin, Cue.VOICE), (end, Cue.SILENT)]
    cues.append((spoken[-1][0], Cue.LISTEN))
    in_order = tuple(sorted(cues, key=lambda cue: cue[0]))

    def told(sound: Samples) -> Scene:
        return Scene(_mixed(room.heard(sound), voice), in_order, played=sound, drift=room.drift)

    def hushed(silent: int) -> Scene:
        return told(np.concatenate([played[:silent], np.zeros(len(played[silent:]), np.int16)]))

    return replace(told(played), hushed=hushed)


def last_begins(staged: Scene) -> int:
    """Return the sample at which the last challenge begins."""
    return [at for at, cue in staged.cues if cue is Cue.VOICE][-1]


def _voice_in(heard: Samples, spoken: tuple[int, int], reply: Samples, level: float) -> Floats:
    begin, end = spoken
    own = speech_rms(heard[begin:end].astype(np.float64))
    voice = reply.astype(np.float64) * 10 ** (level / 20) * own / speech_rms(reply)
    first, _ = speech_bounds(voice)
    at = begin + round(INTO_S * SAMPLE_RATE) - first
    whole = np.zeros(len(heard))
    whole[at : at + len(voice)] = voice[: len(whole) - at]
    return whole


def _mixed(heard: Samples, voice: Floats) -> Samples:
    whole = np.round(heard.astype(np.float64) + voice)
    result: Samples = np.clip(whole, -32_768, 32_767).astype(np.int16)
    return result


def own_alone(
    bench: Bench, rooms: Sequence[Room], texts: Sequence[Samples], expects: Sequence[str]
) -> Iterator[tuple[Room, int, int, int]]:
    """Yield room, challenges, those taken for a reply, and those that silenced the tool."""
    for room in rooms:
        taken = silent = count = 0
        for number in range(0, len(texts) - LEARNED, LEARNED):
            some = texts[number : number + LEARNED + 1]
            expect = expects[number % len(expects)]
            wanted = expected_reply([expect], [OPPOSITE[expect]])
            staged = talking_scene(room, some, np.zeros(0, np.int16), 0.0)
            found = listen_in(staged, bench.recogniser, bench.candidates(wanted))
            count += len(some)
            taken += sum(bench.acted(h, wanted) for h in found.heard)
            silent += found.spoke_up
        yield room, count, taken, silent


def replies_over(
    bench: Bench, rooms: Sequence[Room], texts: Sequence[Samples], people: Sequence[CorpusRecording]
) -> Iterator[OverTally]:
    """Yield the result of each person's word over a challenge, by level; rooms take turns.

    The voice falls silent as in a session: as soon as somebody is heard over it, and the device has
    played what it was given.
    """
    known, earlier = [], texts[:LEARNED]
    for room in rooms:
        alone = talking_scene(room, texts[: LEARNED + 1], np.zeros(0, np.int16), 0.0)
        known.append(learn_scene(alone, _from(alone)))
    for level in ECHO_LEVELS:
        tally = OverTally(level)
        for number, person in enumerate(people):
            which = number % len(rooms)
            last = texts[LEARNED + number % (len(texts) - LEARNED)]
            staged = talking_scene(rooms[which], [*earlier, last], person.samples, -level)
            staged = replace(staged, begin=_from(staged))
            _hear_person(bench, person, staged, known[which], tally)
        yield tally


def _from(staged: Scene) -> int:
    return last_begins(staged) // BLOCK * BLOCK - 4 * BLOCK


def _hear_person(
    bench: Bench, person: CorpusRecording, staged: Scene, known: Learned, tally: OverTally
) -> None:
    tally.replies += 1
    for expect in (person.said, OPPOSITE[person.said]):
        wanted = expected_reply([expect], [w for w in person.among if w != expect])
        found = listen_in(staged, bench.recogniser, bench.candidates(wanted), known)
        trial = bench.outcome(person, "", expect, found.heard, wanted)
        accepted = trial.verdict == Verdict.MATCH.value
        if expect != person.said:
            tally.contrary += accepted
            continue
        tally.right += trial.right
        tally.wrong += trial.taken_for not in ("", person.said)
        tally.noticed += found.spoke_up
        if found.silent_at is not None:
            first = last_begins(staged) + round(INTO_S * SAMPLE_RATE)
            tally.silent_s.append((found.silent_at - first) / SAMPLE_RATE)
