"""The conditions under which replies are measured: noise, crowds, rooms, distance, a quiet voice.

All are simulated from the recordings, the same for the same seed; no device or room was measured.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from callout.bench.acoustic.trimming import trimmed
from callout.bench.levels import impulse_response, in_room
from callout.hearing.cabin_noise import cabin_noise, mix_noise, speech_rms
from callout.ports.hearing import SAMPLE_RATE, Samples

Floats = NDArray[np.float64]

PEOPLE, TWENTY, NEAR, SEVERAL = 30, 20, 6, 5
"""Voices in a room full of people, and voices of a few nearby talkers whose words are
intelligible.
"""
FRAME = SAMPLE_RATE // 2
"""Samples of silence that surround a recording but not a clip."""
QUIET_PEAK = 10 ** (-45 / 20) * 32768
QUIET_SNR_DB, FAR_SNR_DB = 18.0, 20.0
FAR_M, FAR_DECAY_S = 3.0, 0.35
ECHO_DECAY_S, ECHO_TAIL_DB = 0.45, 4.0
CAR_HZ, OVER_ALL_DB = 40.0, 10.0
USUAL_LEVEL = 1000.0


@dataclass(frozen=True, slots=True)
class Condition:
    """One environment: ``make`` takes a recording with silence around it, and a seed."""

    name: str
    make: Callable[[Samples, int], Samples]


def conditions(crowd: Sequence[Samples]) -> tuple[Condition, ...]:
    """Return all of them; crowd: voices of bystanders, none of whom replies."""
    return (
        Condition("clean", lambda voice, seed: voice),
        Condition("vehicle 10 dB", partial(_vehicle, snr_db=10.0)),
        Condition("vehicle 5 dB", partial(_vehicle, snr_db=5.0)),
        Condition("crowd 10 dB", partial(_in_crowd, crowd=crowd, people=PEOPLE, snr_db=10.0)),
        Condition("six near 10 dB", partial(_in_crowd, crowd=crowd, people=NEAR, snr_db=10.0)),
        Condition("echo", _echo),
        Condition("far, 3 m", _far),
        Condition("quiet voice", _quiet),
        Condition("clip", _clip),
        Condition("clip, vehicle 10 dB", partial(_clip_in_vehicle, snr_db=10.0)),
        Condition("clip, vehicle 5 dB", partial(_clip_in_vehicle, snr_db=5.0)),
        Condition("clip, crowd 10 dB", partial(_clip_in_crowd, crowd=crowd, snr_db=10.0)),
        Condition("clip, echo", _clip_echo),
        Condition("clip, car over all", _clip_in_car),
        Condition("clip, vehicle over all", _clip_in_cabin),
        Condition("clip, twenty over all", partial(_clip_among, crowd=crowd, people=TWENTY)),
        Condition("clip, six over all", partial(_clip_among, crowd=crowd, people=NEAR)),
    )


def _clip(voice: Samples, seed: int) -> Samples:
    """Return the recording without the silence around it, as it was originally cut."""
    return voice[FRAME:-FRAME]


def _clip_in_vehicle(voice: Samples, seed: int, *, snr_db: float) -> Samples:
    clip = _clip(voice, seed)
    return _over_power(clip, cabin_noise(len(clip), seed), snr_db)


def _clip_in_crowd(
    voice: Samples, seed: int, *, crowd: Sequence[Samples], snr_db: float
) -> Samples:
    clip = _clip(voice, seed)
    return _over_power(clip, _people(crowd, SEVERAL, len(clip), seed), snr_db)


def _clip_echo(voice: Samples, seed: int) -> Samples:
    return _echo(_clip(voice, seed), seed)


def _clip_in_car(voice: Samples, seed: int) -> Samples:
    """Return the clip in rumble that falls by 6 dB an octave, as in a car."""
    clip = _clip(voice, seed)
    rng = np.random.default_rng(seed)
    hertz = np.fft.rfftfreq(len(clip), 1 / SAMPLE_RATE)
    spectrum = np.fft.rfft(rng.normal(0.0, 1.0, len(clip))) / np.maximum(hertz, CAR_HZ)
    return _over_all(clip, np.fft.irfft(spectrum, len(clip)))


def _clip_in_cabin(voice: Samples, seed: int) -> Samples:
    clip = _clip(voice, seed)
    return _over_all(clip, cabin_noise(len(clip), seed))


def _clip_among(voice: Samples, seed: int, *, crowd: Sequence[Samples], people: int) -> Samples:
    clip = _clip(voice, seed)
    return _over_all(clip, _people(crowd, people, len(clip), seed))


def _over_all(clip: Samples, noise: Floats) -> Samples:
    """Return the clip in noise 10 dB below its power over all samples, silence included.

    So it is often measured elsewhere; for these recordings it is 2.3 dB milder (0 to 4.4).
    """
    return _mixed(clip, noise, _power_level(clip), OVER_ALL_DB)


def _over_power(clip: Samples, noise: Floats, snr_db: float) -> Samples:
    """Return the clip in noise of this relative power, from the first word to the last."""
    return _mixed(clip, noise, _power_level(trimmed(clip)), snr_db)


def _power_level(sound: Samples) -> float:
    """Return the root mean square; that of a usual voice for silence."""
    return float(np.sqrt(np.mean(sound.astype(np.float64) ** 2))) or USUAL_LEVEL


def _vehicle(voice: Samples, seed: int, *, snr_db: float) -> Samples:
    return mix_noise(voice, snr_db, seed)


def _in_crowd(
    voice: Samples, seed: int, *, crowd: Sequence[Samples], people: int, snr_db: float
) -> Samples:
    return _added(voice, _people(crowd, people, len(voice), seed), snr_db)


def _people(crowd: Sequence[Samples], people: int, count: int, seed: int) -> Floats:
    rng = np.random.default_rng(seed)
    total = np.zeros(count)
    for _ in range(people):
        one = crowd[int(rng.integers(len(crowd)))].astype(np.float64)
        shift = int(rng.integers(0, len(one)))
        looped = np.resize(np.roll(one, shift), count)
        total += looped / (speech_rms(one) + 1e-9)
    return total


def _added(voice: Samples, noise: Floats, snr_db: float) -> Samples:
    return _mixed(voice, noise, speech_rms(voice) if voice.any() else USUAL_LEVEL, snr_db)


def _mixed(voice: Samples, noise: Floats, level: float, snr_db: float) -> Samples:
    """Return the voice in noise that is this much below ``level``."""
    scaled = noise / np.sqrt(np.mean(noise**2)) * level * 10 ** (-snr_db / 20)
    return _at_peak(voice + scaled, 16_384.0)


def _echo(voice: Samples, seed: int) -> Samples:
    return _at_peak(_in_room(voice, _tail(ECHO_DECAY_S, ECHO_TAIL_DB, seed)), 16_384.0)


def _tail(decay_s: float, over_db: float, seed: int) -> Floats:
    """Return a room whose reverberant tail is this many dB above the direct sound."""
    room = impulse_response(decay_s, seed=seed)
    tail = room.copy()
    tail[0] = 0.0
    tail *= 10 ** (over_db / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return tail


def _far(voice: Samples, seed: int) -> Samples:
    heard = _in_room(voice, impulse_response(FAR_DECAY_S, FAR_M, 50.0, seed))
    rng = np.random.default_rng(seed)
    return _added(_at_peak(heard, 8_192.0), rng.normal(0.0, 1.0, len(voice)), FAR_SNR_DB)


def _quiet(voice: Samples, seed: int) -> Samples:
    rng = np.random.default_rng(seed)
    noisy = _added(voice, rng.normal(0.0, 1.0, len(voice)), QUIET_SNR_DB)
    return _at_peak(noisy.astype(np.float64), QUIET_PEAK)


def _in_room(voice: Samples, room: Floats) -> Floats:
    return in_room(voice.astype(np.float64), room)[: len(voice)]


def _at_peak(sound: Floats, peak: float) -> Samples:
    top = float(np.abs(sound).max()) or 1.0
    return np.round(sound * (peak / top)).astype(np.int16)
