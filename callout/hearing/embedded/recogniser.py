"""The embedded recogniser behind the hearing port."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from callout.core.candidates import Candidate, CandidateSet
from callout.core.heard import Heard
from callout.hearing.embedded.decision import Decision, shipped
from callout.hearing.embedded.evidence import PhraseScore, adjusted, features
from callout.hearing.embedded.network import (
    END,
    FILES,
    Encoded,
    Network,
    Rows,
    weights_folder,
)
from callout.hearing.embedded.scoring import FLOOR, Scores, Tokens, score
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.written import variants
from callout.hearing.framing import frame
from callout.ports.hearing import SAMPLE_RATE, Samples

SHORTEST = int(0.06 * SAMPLE_RATE)
"""Fewer samples than this are no speech."""
NOISE_SEEDS = (1, 2, 3)


@dataclass(slots=True)
class _Phrase:
    """A candidate ready to be scored."""

    candidate: Candidate
    spellings: dict[Tokens, str]
    noise: float = FLOOR


@dataclass(frozen=True, slots=True)
class Opinion:
    """Everything the decision saw, for the bench and for ``callout hear``."""

    ranked: tuple[PhraseScore, ...]
    evidence: tuple[float, ...]
    free_text: str
    free_score: float
    tokens: Scores | None = field(default=None, repr=False)


class EmbeddedRecogniser:
    """Phrase scoring with the weights in the wheel; see the package's docstring.

    Raises ModelNotFound or EngineUnavailable, with the install command, if it cannot be loaded.
    """

    name = "embedded"

    def __init__(self, decision: Decision | None = None, threads: int = 2) -> None:
        folder = weights_folder()
        self._network: Network | None = Network(folder, threads)
        self._tokenizer = Tokenizer.from_file(folder / FILES[2])
        self._decision = decision or shipped()
        closing = {self._tokenizer.encode("on" + mark)[-1] for mark in (".", "!", "?", "...")}
        self._ends = (END, *sorted(closing))
        self._phrases: list[_Phrase] = []
        self._noise: dict[str, float] = {}
        self._rooms = [self._encode(_noise(seed)) for seed in NOISE_SEEDS]
        self._samples: list[Samples] = []

    def listen_for(self, candidates: CandidateSet) -> None:
        """Prepare the item's phrases; their scores on noise are kept from item to item."""
        self._phrases = [p for c in candidates.candidates if (p := self._prepare(c)).spellings]
        self._measure_noise([p for p in self._phrases if p.candidate.text not in self._noise])
        for phrase in self._phrases:
            phrase.noise = self._noise[phrase.candidate.text]
        self.reset()

    def accept(self, samples: Samples) -> None:
        """Keep the samples; all work is done when the utterance ends."""
        self._samples.append(samples)

    def guess(self) -> Heard:
        """Decide on the samples so far and keep them."""
        started = time.perf_counter()
        joined = np.concatenate(self._samples) if self._samples else np.zeros(0, np.int16)
        opinion = self.opinion(joined)
        return self._heard(opinion, (time.perf_counter() - started) * 1000.0)

    def decide(self) -> Heard:
        """Decide and forget the samples."""
        heard = self.guess()
        self.reset()
        return heard

    def reset(self) -> None:
        """Forget the samples of the utterance under way."""
        self._samples = []

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return words with a character the network has no token for."""
        return tuple(w for w in words if self._tokens(w) is None)

    def close(self) -> None:
        """Free the network; listening afterwards hears nothing."""
        self._network = None

    def opinion(self, samples: Samples) -> Opinion | None:
        """Score one utterance against the prepared phrases; None for no speech at all."""
        if self._network is None or len(samples) < SHORTEST or not np.any(samples):
            return None
        encoded, root = self._network.encode(frame(samples))
        wanted = {t for p in self._phrases for t in p.spellings}
        scores = score(self._network, encoded, root, wanted, self._ends)
        free_text = self._tokenizer.decode(scores.free)
        ranked = sorted(
            (_weigh(p, scores) for p in self._phrases), key=lambda s: s.adjusted, reverse=True
        )
        if not ranked:
            return Opinion((), (), free_text, scores.free_score)
        spellings = next(
            tuple(p.spellings.values()) for p in self._phrases if p.candidate.text == ranked[0].text
        )
        evidence = features(ranked, spellings, free_text, scores.free_score)
        return Opinion(tuple(ranked), evidence, free_text, scores.free_score, scores)

    def _heard(self, opinion: Opinion | None, ms: float) -> Heard:
        if opinion is None:
            return Heard(text="", engine=self.name, compute_ms=ms)
        if not opinion.ranked:
            return Heard("", opinion.free_text, engine=self.name, compute_ms=ms)
        confidence = self._decision.confidence(opinion.evidence)
        others = tuple((s.text, round(s.adjusted, 2)) for s in opinion.ranked[1:5])
        return Heard(
            text=opinion.ranked[0].text,
            transcript=opinion.free_text,
            confidence=confidence,
            sure=confidence >= self._decision.threshold,
            alternatives=others,
            compute_ms=ms,
            engine=self.name,
        )

    def _prepare(self, candidate: Candidate) -> _Phrase:
        spellings: dict[Tokens, str] = {}
        for form in candidate.forms:
            for text in variants(form):
                if (tokens := self._tokens(text)) is not None:
                    spellings.setdefault(tokens, text)
        return _Phrase(candidate, spellings)

    def _tokens(self, text: str) -> Tokens | None:
        try:
            return self._tokenizer.encode(text)
        except ValueError:
            return None

    def _encode(self, samples: Samples) -> tuple[Encoded, Rows]:
        assert self._network is not None
        return self._network.encode(frame(samples))

    def _measure_noise(self, phrases: list[_Phrase]) -> None:
        if not phrases or self._network is None:
            return
        wanted = {t for p in phrases for t in p.spellings}
        rooms = [
            score(self._network, encoded, root, wanted, self._ends, prune=30.0)
            for encoded, root in self._rooms
        ]
        for phrase in phrases:
            levels = [_sum(phrase, room) for room in rooms]
            self._noise[phrase.candidate.text] = float(np.median(levels))


def _sum(phrase: _Phrase, scores: Scores) -> float:
    return float(np.logaddexp.reduce([scores.phrases[t] for t in phrase.spellings]))


def _weigh(phrase: _Phrase, scores: Scores) -> PhraseScore:
    raw = _sum(phrase, scores)
    likeliest = max(phrase.spellings, key=lambda t: scores.phrases[t])
    return PhraseScore(
        phrase.candidate.text, raw, adjusted(raw, phrase.noise), phrase.spellings[likeliest]
    )


def _noise(seed: int) -> Samples:
    rng = np.random.default_rng(seed)
    white = rng.normal(0.0, 1.0, SAMPLE_RATE // 2)
    brown = np.cumsum(white) if seed % 2 else white
    brown = brown - brown.mean()
    scaled: Samples = (brown / np.abs(brown).max() * 8000).astype(np.int16)
    return scaled
