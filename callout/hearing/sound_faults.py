"""What is wrong with the sound: one rule for testing a microphone and for using it."""

from __future__ import annotations

from callout.core.sentences import sound as sentences
from callout.hearing.level import SpeechLevel
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.ports.hearing import Samples

CLIPPED = 0.002
"""Share of clipped samples in a moment of speech from which words suffer."""
MOMENT_BLOCKS = 4
"""Length of such a moment in blocks (0.13 s)."""
QUIET_VOICE_DB = -45.0
"""Below this the voice comes close to the noise of the device itself."""
LEAST_SNR_DB = 5.0
"""Below this the voice cannot be separated from the room; nothing was measured there."""

TOO_LOUD = sentences.VOICE_OVERLOADS


def too_quiet(speech_db: float) -> str:
    """Return what to do about a voice that arrives at this level, or ""."""
    if speech_db >= QUIET_VOICE_DB:
        return ""
    return sentences.voice_too_quiet(speech_db)


def too_near_the_noise(snr_db: float | None, least: float = LEAST_SNR_DB) -> str:
    """Return what to do about a voice less than ``least`` above the noise, or ""."""
    if snr_db is None or snr_db >= least:
        return ""
    return sentences.voice_near_noise(snr_db)


def blocks_lost(count: int) -> str:
    """Return what to do about blocks of sound that were lost."""
    said = "1 block of sound was" if count == 1 else f"{count} blocks of sound were"
    return sentences.blocks_lost(said)


def sort_block(into: SpeechLevel, block: Samples, segmenter: Segmenter) -> None:
    """Count a block as speech or as the room; a doubtful one counts as neither.

    segmenter: has just judged the block.
    """
    silent = segmenter.clock - segmenter.last_speech
    if not segmenter.speaking or silent < BLOCK_SECONDS:
        into.take(block, speech=segmenter.speaking)
