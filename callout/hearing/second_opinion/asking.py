"""The embedded recogniser, with a second one asked where it is in doubt."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from callout.core.model.candidates import CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.embedded.evidence import plain
from callout.hearing.embedded.opinions import Opinion, alternatives
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.embedded.written import variants
from callout.hearing.second_opinion.text_scorer import TextScorer
from callout.hearing.second_opinion.weighing import FirstOpinion, SecondDecision
from callout.ports.hearing import Samples

MOST_ASKED = 10
"""The second is asked about so many of the first's leading phrases."""
LONGEST_WAIT_S = 5.0
"""A second opinion that is not loaded by then is gone without."""


class AskingRecogniser:
    """Decides as the first recogniser does; where that is in doubt, as both do together.

    The second is loaded in the background once there is something to listen for. If it cannot be
    loaded, or fails, everything is as without it.
    """

    def __init__(
        self,
        first: EmbeddedRecogniser,
        decision: SecondDecision | None = None,
        load: Callable[[], TextScorer] = TextScorer.installed,
    ) -> None:
        self.name = first.name
        self.asked = 0
        """How many utterances the second was asked about."""
        self._first = first
        self._decision = decision or SecondDecision.shipped()
        self._second = _Loading(load)
        self._forms: dict[str, tuple[str, ...]] = {}
        self._samples: list[Samples] = []

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm the first, and begin to load the second."""
        self._first.listen_for(candidates)
        self._forms = {c.text: c.forms for c in candidates.candidates}
        self._samples = []
        self._second.start()

    def accept(self, samples: Samples) -> None:
        """Keep the samples for both."""
        self._first.accept(samples)
        self._samples.append(samples)

    def guess(self) -> Heard:
        """Say what the first makes of the samples so far; the second is asked at the end."""
        return self._first.guess()

    def decide(self) -> Heard:
        """Decide, with the second where the first is in doubt, and forget the samples."""
        samples, self._samples = self._samples, []
        heard = self._first.decide()
        opinion = self._first.latest
        if opinion is None or not self._doubtful(heard, opinion):
            return heard
        return self._together(heard, opinion, np.concatenate(samples))

    def reset(self) -> None:
        """Forget the samples of the utterance under way."""
        self._first.reset()
        self._samples = []

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return what the first cannot report."""
        return self._first.unknown_words(words)

    def close(self) -> None:
        """Free both; safe to call twice."""
        self._first.close()
        self._second.drop()

    def _doubtful(self, heard: Heard, opinion: Opinion) -> bool:
        """Return True if the first is not sure, but heard something that may be a reply."""
        return (
            not heard.sure
            and not opinion.moved  # the evidence is about another phrase
            and opinion.reading.sound.phones != ()  # as noises are read
            and heard.confidence >= self._decision.plausible
        )

    def _together(self, heard: Heard, opinion: Opinion, samples: Samples) -> Heard:
        started = time.perf_counter()
        if (second := self._second.wait()) is None:
            return heard
        first = FirstOpinion(opinion.scores[:MOST_ASKED], heard.confidence, opinion.reading)
        forms = {s.text: self._forms[s.text] for s in first.scores}
        try:
            text = second.read(samples, forms)
        except Exception:  # whatever fails in it, the first one's answer stands
            self._second.drop()
            return heard
        self.asked += 1
        leader = self._decision.leader(first, text, ways_of(self._forms))
        chance = self._decision.chance(leader.evidence)
        took = heard.compute_ms + (time.perf_counter() - started) * 1000.0
        if chance < self._decision.threshold:
            return replace(heard, compute_ms=took)
        others = alternatives(opinion.scores, leader.text)
        return replace(
            heard,
            text=leader.text,
            confidence=chance,
            sure=True,
            alternatives=others,
            compute_ms=took,
        )


def ways_of(forms: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
    """Return the plain texts that each phrase may be written as."""
    return {text: _ways(spoken) for text, spoken in forms.items()}


@lru_cache(1024)
def _ways(spoken: tuple[str, ...]) -> frozenset[str]:
    return frozenset(plain(way) for form in spoken for way in variants(form))


class _Loading:
    """A second opinion that is loaded by a thread of its own."""

    def __init__(self, load: Callable[[], TextScorer]) -> None:
        self._load = load
        self._scorer: TextScorer | None = None
        self._thread: threading.Thread | None = None
        self._dropped = False

    def start(self) -> None:
        """Begin to load, if that has not begun."""
        if self._thread is None and not self._dropped:
            self._thread = threading.Thread(target=self._run, name="second opinion", daemon=True)
            self._thread.start()

    def wait(self) -> TextScorer | None:
        """Return it as soon as it is there; None if there is none to be had."""
        if self._thread is not None:
            self._thread.join(LONGEST_WAIT_S)
        return None if self._dropped else self._scorer

    def drop(self) -> None:
        """Do without it from now on."""
        self._dropped, self._scorer = True, None

    def _run(self) -> None:
        try:
            self._scorer = self._load()
        except Exception:  # absent or damaged: ``callout doctor`` says so
            self._dropped = True
