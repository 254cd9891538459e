"""The outcome of a conversation, as far as all kinds share it."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.sound import UNSPOILT, SoundTally


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonSummary:
    """Base of the summaries."""

    minutes: float
    """From the first record to the last, without breaks."""
    sound: SoundTally = UNSPOILT
    """How often the sound was degraded."""
