"""Will this room do? A plain answer from measured levels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from callout.app.listening.microphone_booth import BoothWord, Totals
from callout.core.sentences import sound as sentences
from callout.hearing.echo import room_echoes
from callout.hearing.sound_faults import (
    CLIPPED,
    TOO_LOUD,
    blocks_lost,
    too_near_the_noise,
    too_quiet,
)

WORDS = ("on", "seven", "left", "checked", "nine")
"""Each said once: vowels, soft and hard consonants."""

QUIET_S = 3.0
"""Seconds of silence for the noise floor."""

BANDS = ((20.0, 89), (10.0, 81), (5.0, 71))
"""Signal to noise in dB, and how many of 100 single words of unknown people were accepted first
time at that level (bench/results, hearing).
"""

OFFSET_DB = -40.0
ECHO = sentences.ROOM_ECHOES


class Room(Enum):
    """How well replies will be heard here."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"
    BAD = "bad"


@dataclass(frozen=True, slots=True)
class RoomVerdict:
    """What was measured and what to do about it."""

    room: Room
    sentence: str
    share: str
    """What the ratio of voice to noise implies; empty if unknown."""
    advice: tuple[str, ...]
    speech_db: float
    """Level of the words, in dB below full scale."""
    noise_db: float
    """Level between words, in dB below full scale."""
    snr_db: float | None
    """Speech over noise, in dB; None if no word came."""
    clipped: float
    """Worst share of clipped samples in one reading, 0 to 1."""
    echo: bool
    """True if words hang in the air."""
    offset_db: float
    """The device's constant offset, in dB below full scale."""
    dropped: int
    """Blocks of sound lost."""
    right: int
    """Words understood first time."""
    words: int
    """Words asked for."""


def judge_room(said: Sequence[BoothWord | None], totals: Totals, dropped: int = 0) -> RoomVerdict:
    """Return the verdict on the words said and the levels measured.

    said: None for a requested word that was not heard at all. dropped: device blocks lost.
    """
    right = sum(one is not None and one.right for one in said)
    snr = totals.speech.snr_db
    echo = room_echoes((one.samples for one in said if one), snr)
    spoilt = echo or totals.clipped > CLIPPED
    room = _room_verdict(right, len(said), snr, spoilt)
    return RoomVerdict(
        room=room,
        sentence=_SENTENCES[room],
        share="" if spoilt else _share_understood(snr),
        advice=(*([ECHO] if echo else []), *_room_advice(said, totals, dropped, room, echo)),
        speech_db=totals.speech.speech_db,
        noise_db=totals.speech.noise_db,
        snr_db=snr,
        clipped=totals.clipped,
        echo=echo,
        offset_db=totals.offset_db,
        dropped=dropped,
        right=right,
        words=len(said),
    )


_SENTENCES = {
    Room.GOOD: sentences.WORKS_WELL,
    Room.FAIR: sentences.WORKS_WITH_REPEATS,
    Room.POOR: sentences.BARELY_WORKS,
    Room.BAD: sentences.DOES_NOT_WORK,
}


def _room_verdict(right: int, words: int, snr: float | None, spoilt: bool) -> Room:
    order = [Room.GOOD, Room.FAIR, Room.POOR, Room.BAD]
    by_noise = 0 if snr is None else sum(snr < least for least, _ in BANDS)
    missed = words - right
    by_words = 0 if missed <= 1 else 1 if missed == 2 else 2 if missed == 3 else 3
    return order[max(by_noise, by_words, spoilt)]


def _share_understood(snr: float | None) -> str:
    if snr is None:
        return ""
    for least, share in BANDS:
        if snr >= least:
            return sentences.share_accepted_at(least, share)
    return ""


def _room_advice(
    said: Sequence[BoothWord | None], totals: Totals, dropped: int, room: Room, echo: bool
) -> list[str]:
    speech = totals.speech
    found: list[str] = []
    if totals.silent:
        return [sentences.NO_SOUND_AT_ALL]
    if all(one is None for one in said):
        return [sentences.NO_WORD_HEARD]
    if totals.clipped > CLIPPED:
        found.append(TOO_LOUD)
    elif quiet := too_quiet(speech.speech_db):
        found.append(quiet)
    if near := too_near_the_noise(speech.snr_db, BANDS[0][0]):
        found.append(near)
    if totals.offset_db > OFFSET_DB:
        found.append(sentences.offset_removed(totals.offset_db))
    if dropped:
        found.append(blocks_lost(dropped))
    if room is not Room.GOOD and not found and not echo:
        found.append(sentences.SPEAK_MORE_SLOWLY)
    return found
