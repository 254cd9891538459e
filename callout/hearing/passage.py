"""What may be a person's voice while the tool speaks, and just after it has spoken."""

from __future__ import annotations

import math

from callout.core.model.heard import Heard
from callout.hearing.late_voice import LateVoice
from callout.hearing.over_voice import OverVoice
from callout.hearing.tool_voice import ToolVoice
from callout.ports.hearing import Samples

AT_ONCE_SECONDS = 0.1
"""Speech this soon after arming was already there: the tool's voice arriving late, or half a reply.
It counts only if it is clearly louder than the tool's voice; the tool's last word alone is ignored.
"""
SOON_SECONDS = 0.3
"""Speech this soon may still be the end of a late challenge, after a stop consonant in it."""
LAST_WORD_SECONDS = 0.45
"""The end of a challenge that arrives late is heard as a short word ("heat" as "eight")."""
SURE_AT_ONCE, SURE_OVER_VOICE, SURE_NEAR_VOICE, SURE_OF_A_REST = 0.96, 0.9, 0.92, 0.98
"""Lowest confidence in a reply that the tool's voice may have run into: at its beginning, all the
time, hardly below it all the time, and where only the rest of a word may have been heard. Chosen
with ``callout bench hearing --only own-voice`` and ``callout bench voices --only over``, see
bench/results.
"""
FAR_ABOVE_DB = 18.0
"""A person this far above what is left of the tool's voice is heard as well as in quiet."""
REST_AT_S, REST_AFTER_S, REST_SECONDS = 0.02, 0.2, 0.25
"""Speech that was under way when a person was let through, that begins this long after it, or that
is this short, may be the rest of a word whose beginning the tool's voice covered: "off" is then
heard as "on".
"""


class Passage:
    """Lets a person's voice through, and demands more certainty where the tool's voice may have run
    into it.

    over: a person may answer while the tool speaks; None: the session disarms the ear meanwhile.
    own: removes the tool's voice played over a loudspeaker; if it cannot, nobody is let through.
    Times are seconds of sound heard, as in ``Turns.clock``.
    """

    def __init__(self, over: OverVoice | None = None, own: ToolVoice | None = None) -> None:
        self._over, self._own = over, own
        self._late = LateVoice()
        self._saying = False
        self._quiet_at = -math.inf
        """When the tool's voice should have died away."""
        self._let_through_at = 0.0
        self.began = False
        """True if the last block let a person through: what is heard begins there."""

    @property
    def open(self) -> bool:
        """True while a person is let through although the tool is speaking."""
        return self._over is not None and self._over.open

    def clean(self, block: Samples, at: float) -> Samples:
        """Return a block as it is to be heard; at: when its last sample was captured."""
        return block if self._own is None else self._own.take(block, at)

    def arm(self, clock: float) -> None:
        """The ear is armed at this moment."""
        if self._own is None:
            self._fall_silent(clock)

    def unarmed(self, block: Samples) -> None:
        """Learn from a block that arrived while the tool spoke and nothing was listened for."""
        self._late.own(block)

    def take(self, block: Samples, saying: bool, clock: float) -> list[Samples]:
        """Return what is to be heard of a block and the blocks before it.

        saying: whether the tool is speaking. clock: the time at which the block begins.
        """
        self.began = False
        if self._over is None:
            self._late.take(block)
            return [block]
        if saying != self._saying:
            self._saying = saying
            self._over.speaking(saying)
        was_open, gated = self._over.open, self._over.gated
        if self._own is None:
            blocks = self._over.take(block)
        else:
            blocks = self._past_own(self._over, self._own, block, clock)
        self.began = gated and self._over.open and not was_open
        if self.began:
            self._let_through_at = clock
        return blocks

    def _past_own(
        self, over: OverVoice, own: ToolVoice, block: Samples, clock: float
    ) -> list[Samples]:
        if not over.gated:
            self._late.take(block)
            return over.take(block)
        if not over.open:
            self._late.own(block)
            own.judge(block)
            self._fall_silent(clock)
            if not own.trusted:
                over.shut()
                return []
        return over.take(block)

    def _fall_silent(self, clock: float) -> None:
        self._quiet_at = clock
        self._late.arm()

    def settle(self, *, reply: bool) -> None:
        """Note that the utterance is over, and whether it was a reply."""
        if self._over is not None and self._over.open:
            self._over.settle(reply=reply)

    def last_word(self, heard: Heard, *, after_voice: bool) -> bool:
        """Return True for what is probably the end of the tool's own challenge."""
        at_once = heard.start - self._quiet_at <= AT_ONCE_SECONDS
        short = heard.end - heard.start < LAST_WORD_SECONDS
        return at_once and short and self.least(heard, after_voice=after_voice) == math.inf

    def least(self, heard: Heard, *, after_voice: bool) -> float:
        """Return the confidence needed where the tool's voice was; infinite: none is enough.

        after_voice: the tool has spoken since the ear was last armed.
        """
        if self._over is not None and self._over.open:
            return self._least_over(self._over.above_db, heard)
        if self._over is not None and self._own is None:
            return 0.0
        since = heard.start - self._quiet_at
        if (self._own is None and not after_voice) or since > SOON_SECONDS:
            return 0.0
        if not self._late.outspoken:
            return math.inf
        return SURE_AT_ONCE if since <= AT_ONCE_SECONDS else 0.0

    def _least_over(self, above_db: float, heard: Heard) -> float:
        if above_db >= FAR_ABOVE_DB:
            return SURE_OVER_VOICE
        return SURE_OF_A_REST if self._may_be_a_rest(heard) else SURE_NEAR_VOICE

    def _may_be_a_rest(self, heard: Heard) -> bool:
        after = heard.start - self._let_through_at
        whole = REST_AT_S <= after <= REST_AFTER_S
        return not whole or heard.end - heard.start < REST_SECONDS
