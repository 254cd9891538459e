"""What degrades the sound during a session: reported, recorded and counted, nothing more."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.records import Disturbance, Disturbed
from callout.core.model.counting import counted_noun, times_words

_MOST = 1_000_000_000
"""A count stops here, whatever a journal says."""


@dataclass(frozen=True, slots=True)
class SoundNotice:
    """News of one kind of sound trouble, from the part that measures it."""

    what: Disturbance
    count: int = 0
    """Utterances, or blocks lost, since the previous notice."""
    message: str = ""
    """A sentence with the remedy, or with what has improved."""
    measured: float | None = None
    """Share of clipped samples at the worst moment, or level of the voice in dB of full scale."""
    told: bool = False
    """True: worth a line now; otherwise it is only counted."""
    over: bool = False
    """True: it has been good for a while."""


@dataclass(frozen=True, slots=True)
class SoundTally:
    """How often the sound was degraded."""

    overloaded: int = 0
    """Utterances."""
    faint: int = 0
    """Utterances."""
    lost: int = 0
    """Blocks."""

    def after(self, record: Disturbed) -> SoundTally:
        """Return the tally after one more record."""
        counts = (record.count if record.what is kind else 0 for kind in Disturbance)
        return self.plus(SoundTally(*counts))

    def plus(self, other: SoundTally) -> SoundTally:
        """Return the sum of both."""
        return SoundTally(
            _sum_counts(self.overloaded, other.overloaded),
            _sum_counts(self.faint, other.faint),
            _sum_counts(self.lost, other.lost),
        )

    @property
    def words(self) -> str:
        """One line, such as "the microphone overloaded twice; 12 blocks were lost"; or ""."""
        told = (
            (self.overloaded, f"the microphone overloaded {times_words(self.overloaded)}"),
            (self.faint, f"the voice was faint {times_words(self.faint)}"),
            (self.lost, f"{counted_noun(self.lost, 'block')} {_was_or_were(self.lost)} lost"),
        )
        return "; ".join(words for count, words in told if count)


UNSPOILT = SoundTally()


def _sum_counts(one: int, other: int) -> int:
    return min(max(one, 0) + max(other, 0), _MOST)


def _was_or_were(count: int) -> str:
    return "was" if count == 1 else "were"
