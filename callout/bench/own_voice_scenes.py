"""Scenes in which the tool's challenge and a reply overlap at the microphone.

Levels are root mean squares over speech. Everything is the same for the same arguments.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from callout.bench.corpora import Floats
from callout.bench.levels import in_room
from callout.core.conversation.pacing import Pacing
from callout.hearing.cabin_noise import speech_rms
from callout.ports.hearing import SAMPLE_RATE, Samples

REPLY_RMS = 2000.0
"""Level of the reply that is left out where the challenge is alone: 24 dB below full scale."""
LATE_S = 0.5
"""How late the challenge arrives at the microphone (output buffers, a wireless loudspeaker)."""
SOON_S = 0.1
"""From the ear's arming to the reply's beginning: an answer just after the challenge."""
REVERBERATION_S = 0.5
"""Time in which the room's reverberation falls by 60 dB: a furnished room (common practice)."""
INTO_S = 0.4
"""From the beginning of a challenge to that of a reply over it."""
ALONE_S = 1.0
"""How long a challenge lasts where no reply is mixed into it."""
PAUSE_S = 1.0
"""Silence before the challenge that is answered, and after everything."""
ROOM_S = 0.5
HISS = 3.0
"""Root mean square of the room's own noise: 81 dB below full scale."""


class Way(Enum):
    """How the challenge and the reply overlap."""

    ECHO = "own echo"
    """It arrives late and rings on over the reply's beginning; the ear was armed after its rest."""
    UNDER = "under own voice"
    """It continues under the whole reply, and nothing keeps it out."""
    HEADSET = "headset"
    """The same, through the gate that has learned its level."""


class Cue(Enum):
    """What the session tells the ear."""

    LISTEN = "listen"
    VOICE = "voice"
    SILENT = "silent"


@dataclass(frozen=True, slots=True)
class Scene:
    """What reaches the microphone, and what the session signals when (sample, in order)."""

    samples: Samples
    cues: tuple[tuple[int, Cue], ...]
    headset: bool = False
    played: Samples | None = None
    """What the loudspeaker plays meanwhile, for an ear that removes it."""
    drift: float = 0.0
    """By how much its clock is slower, in parts per million."""
    begin: int = 0
    """Sample from which the ear hears it."""
    hushed: Callable[[int], Scene] | None = None
    """Gives the scene in which the tool falls silent at a sample; None: it never does."""


def stage_scene(
    way: Way, reply: Samples, challenge: Samples, level: float, before: Samples | None = None
) -> Scene:
    """Return ``reply`` and ``challenge`` as they meet; an empty reply leaves the challenge alone.

    level: the challenge relative to the reply, in dB. It is said again until it is long enough.
    before: with a headset, what the tool said earlier (else the challenge): from it its level is
    learned. ValueError for a challenge without sound.
    """
    own = 10 ** (level / 20) * (speech_rms(reply) if len(reply) else REPLY_RMS)
    voice = reply.astype(np.float64) if len(reply) else np.zeros(SAMPLE_RATE)
    said = _at(trimmed_speech(challenge), own)
    if way is Way.HEADSET:
        return _headset(voice, said, said if before is None else _at(trimmed_speech(before), own))
    return _loudspeaker(voice, said, rings=way is Way.ECHO)


def trimmed_speech(samples: Samples) -> Floats:
    """Return speech without the silence around it; ValueError where there is nothing else."""
    sound = samples.astype(np.float64)
    begin, end = speech_bounds(sound, 0.02)
    if begin == end:
        raise ValueError("a challenge without sound")
    return sound[begin:end]


def speech_bounds(sound: Floats, share: float = 0.1) -> tuple[int, int]:
    """Return begin and end of speech: where ``share`` of its peak is reached; of silence 0, 0."""
    loud = np.flatnonzero(np.abs(sound) >= max(1.0, share * float(np.abs(sound).max(initial=0.0))))
    return (int(loud[0]), int(loud[-1]) + 1) if len(loud) else (0, 0)


def _loudspeaker(reply: Floats, said: Floats, *, rings: bool) -> Scene:
    """The tool has finished and rested; what it said still arrives when the reply begins."""
    begins, ends = speech_bounds(reply)
    spoken = _seconds(ends - begins) or ALONE_S
    late = LATE_S if rings else Pacing().tail_s + SOON_S + spoken
    said = _long_enough(said, late + ROOM_S)
    arrived = _samples(ROOM_S) + len(said)
    armed = arrived - _samples(late) + _samples(Pacing().tail_s)
    answered = armed + _samples(SOON_S)
    mix = _Mix(arrived + len(reply) + _samples(PAUSE_S))
    mix.add(_samples(ROOM_S), _ringing(said) if rings else said)
    mix.add(answered - begins, reply)
    finished = armed - _samples(Pacing().tail_s)
    return Scene(mix.samples(), ((0, Cue.VOICE), (finished, Cue.SILENT), (armed, Cue.LISTEN)))


def _headset(reply: Floats, said: Floats, before: Floats) -> Scene:
    """Earlier words, a pause, and a challenge that the reply falls into and ends."""
    begins, ends = speech_bounds(reply)
    spoken = INTO_S + _seconds(ends - begins)
    earlier = _long_enough(before, 2.0)
    said = _long_enough(said, spoken)
    if ends > begins:
        said = said[: _samples(spoken)]
    first = _samples(ROOM_S)
    silent = first + len(earlier)
    second = silent + _samples(PAUSE_S)
    mix = _Mix(second + len(said) + len(reply) + _samples(PAUSE_S))
    mix.add(first, earlier)
    mix.add(second, said)
    mix.add(second + _samples(INTO_S) - begins, reply)
    over = second + len(said)
    cues = ((0, Cue.LISTEN), (first, Cue.VOICE), (silent, Cue.SILENT),
            (second, Cue.VOICE), (second, Cue.LISTEN), (over, Cue.SILENT))  # fmt: skip
    return Scene(mix.samples(), cues, headset=True)


class _Mix:
    """Sounds added up in a room that is nearly silent."""

    def __init__(self, count: int) -> None:
        self._sum = np.random.default_rng(count).normal(0.0, HISS, count)

    def add(self, at: int, sound: Floats) -> None:
        """Add a sound from sample ``at`` on; what lies outside is left out."""
        begin, end = max(0, at), min(len(self._sum), at + len(sound))
        self._sum[begin:end] += sound[begin - at : end - at]

    def samples(self) -> Samples:
        """Return the sum, made quieter as a whole where it would clip."""
        gain = min(1.0, 32_000 / float(np.abs(self._sum).max()))
        whole: Samples = np.round(self._sum * gain).astype(np.int16)
        return whole


def _at(sound: Floats, rms: float) -> Floats:
    return np.asarray(sound * rms / speech_rms(sound))


def _long_enough(sound: Floats, seconds: float) -> Floats:
    return np.tile(sound, -(-_samples(seconds) // len(sound)))


def _ringing(sound: Floats) -> Floats:
    """Return a sound in a room: itself, and 6 dB below it noise that decays; longer by that."""
    length = _samples(REVERBERATION_S)
    t = np.arange(length) / SAMPLE_RATE
    room = np.random.default_rng(len(sound)).normal(0.0, 1.0, length)
    room *= 10 ** (-3.0 * t / REVERBERATION_S)
    room *= 0.5 / np.sqrt(np.sum(room**2))
    room[0] = 1.0
    return in_room(sound, room)


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE)


def _seconds(samples: int) -> float:
    return samples / SAMPLE_RATE
