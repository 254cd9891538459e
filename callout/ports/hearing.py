"""The hearing port: a recogniser is fed one utterance at a time."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from callout.core.model.candidates import CandidateSet
from callout.core.model.heard import Heard

SAMPLE_RATE = 16_000
"""Hz; all samples that cross this port are 16-bit mono at this rate."""

Samples = NDArray[np.int16]


class Recogniser(Protocol):
    """Words and scores for one utterance cut out by the voice activity detector."""

    name: str

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm for an item; whatever can be prepared before the reply is done here."""

    def accept(self, samples: Samples) -> None:
        """Take the next samples of the utterance, of any length."""

    def guess(self) -> Heard:
        """Return what ``decide`` would return if the utterance ended now; keeps the samples.

        An engine that cannot say this early returns an unsure ``Heard``.
        """

    def decide(self) -> Heard:
        """Return what was heard since the last ``decide`` or ``reset``, and reset.

        Silence or an empty utterance gives ``Heard(text="", sure=False)``; never raises on audio.
        """

    def reset(self) -> None:
        """Discard the samples of the current utterance (the tool's own voice, a new item)."""

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words this recogniser can never report, in the order given."""

    def close(self) -> None:
        """Free the model; safe to call twice."""


class AudioSource(Protocol):
    """Blocks of 16 kHz mono 16-bit samples; iteration ends when the recording does.

    A live source may give in ``captured_at`` the time (``time.monotonic``) at which the last sample
    of the latest block was captured; otherwise a block counts as captured when it is yielded.
    """

    @property
    def name(self) -> str:
        """What it is, for the screen."""

    def blocks(self) -> Iterable[Samples]:
        """Yield blocks of about 32 ms; a live source waits for the next one."""

    def close(self) -> None:
        """Stop the stream; safe to call twice and from another thread."""
