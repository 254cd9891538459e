"""How likely each phrase is as the text of one utterance, according to the published speech
model.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from callout.arithmetic import Floats
from callout.hearing.embedded.acoustic import log_mel_spectrogram
from callout.hearing.embedded.network import Encoded, Rows
from callout.hearing.embedded.scoring import Tokens, score_phrases
from callout.hearing.embedded.written import written_variants
from callout.hearing.framing import frame_samples
from callout.hearing.second_opinion.network import END, TextNetwork
from callout.hearing.second_opinion.published import (
    MODEL,
    TOKENS,
    let_go,
    published_file,
    read_arrays,
)
from callout.hearing.second_opinion.tokens import TextTokens
from callout.ports.hearing import SAMPLE_RATE, Samples

WINDOW_S = 4.0
"""Seconds of the window: the model was made for thirty, but a reply takes two at most."""
BEFORE_S, AFTER_S = 0.2, 0.6
"""Silence put before an utterance, and kept free after a long one."""
LONGEST_S = 10.0
PRUNE = 10.0
"""How far behind the best beginning of its length another may fall, natural log."""
FREE_TOKENS = 12
"""A free text is cut off here, or once it is longer than any phrase: what follows repeats it."""
CLOSING = (".", ",", "!", "?", "...")
"""Signs that may end a text before its end mark."""


@dataclass(frozen=True, slots=True)
class TextReading:
    """The model's reading of one utterance; natural logarithms."""

    phrases: dict[str, float]
    """Log-likelihood of each candidate, summed over the ways to write it."""
    text: str
    """What it writes freely."""
    score: float
    """Log-likelihood of exactly that."""
    silent: float
    """Log-probability that nobody speaks."""


class Unwanted(Exception):
    """Nobody waits for the answer any more."""


@dataclass(frozen=True, slots=True)
class _WhileWanted:
    """The network, until nobody waits for the answer."""

    network: TextNetwork
    wanted: Callable[[], bool]

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        if not self.wanted():
            raise Unwanted
        return self.network.step(encoded, tokens, rows)


class TextScorer:
    """The model with its weights; made once, and used by one thread at a time."""

    def __init__(self, network: TextNetwork, tokens: TextTokens) -> None:
        self._network, self._tokens = network, tokens
        self._ends = (END, *sorted({tokens.encode("x" + sign)[-1] for sign in CLOSING}))
        self._written = lru_cache(4096)(self._ways)

    @classmethod
    def installed(cls) -> TextScorer:
        """Return the installed one; raises EngineUnavailable, with the command that installs it."""
        content = published_file(MODEL)
        network = TextNetwork(read_arrays(memoryview(content)), partial(let_go, content))
        return cls(network, TextTokens.from_json(published_file(TOKENS)[:]))

    def read(
        self,
        samples: Samples,
        forms: Mapping[str, Sequence[str]],
        wanted: Callable[[], bool] = lambda: True,
    ) -> TextReading:
        """Score one utterance, 16-bit mono at 16 kHz, against phrases with their spoken forms.

        Raises Unwanted as soon as it is no longer ``wanted``.
        """
        encoded, root, silent = self._network.encode(log_mel_spectrogram(framed_window(samples)))
        ways = {text: self._all_ways(spoken) for text, spoken in forms.items()}
        texts = {way for found in ways.values() for way in found}
        most = min(max((len(way) for way in texts), default=0) + 1, FREE_TOKENS)
        network = _WhileWanted(self._network, wanted)
        scores = score_phrases(network, encoded, root, texts, self._ends, PRUNE, most)
        phrases = {
            text: float(np.logaddexp.reduce([scores.phrases[way] for way in found]))
            for text, found in ways.items()
            if found
        }
        self._network.spare()
        return TextReading(phrases, self._tokens.decode(scores.free), scores.free_score, silent)

    def _all_ways(self, spoken: Iterable[str]) -> tuple[Tokens, ...]:
        return tuple(dict.fromkeys(way for form in spoken for way in self._written(form)))

    def _ways(self, form: str) -> tuple[Tokens, ...]:
        return tuple(self._tokens.encode(" " + text) for text in written_variants(form))


def framed_window(samples: Samples) -> Floats:
    """Return one utterance at the usual level, in silence that fills the window."""
    kept = samples[: int(LONGEST_S * SAMPLE_RATE)]
    least = len(kept) + int((BEFORE_S + AFTER_S) * SAMPLE_RATE)
    whole = np.zeros(max(int(WINDOW_S * SAMPLE_RATE), least), np.float32)
    start = int(BEFORE_S * SAMPLE_RATE)
    whole[start : start + len(kept)] = frame_samples(kept, pad=0.0)
    return whole
