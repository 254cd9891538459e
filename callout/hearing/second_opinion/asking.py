"""The embedded recogniser, with a second one that is asked when it is in doubt."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.embedded.evidence import plain_words
from callout.hearing.embedded.opinions import Opinion, other_candidates
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.embedded.written import written_variants
from callout.hearing.second_opinion.text_scorer import TextReading, TextScorer, Unwanted
from callout.hearing.second_opinion.weighing import FirstOpinion, SecondDecision
from callout.ports.hearing import Samples

MOST_ASKED = 10
"""Number of the first recogniser's leading phrases that the second is asked about."""
MOST_DIGITS = 2
"""If a longer number is expected, the second is not asked: a single digit decides there."""
LONGEST_WAIT_S = 10.0
"""A second opinion that takes longer is not waited for."""


class AskingRecogniser:
    """Decides like the first recogniser or, in doubt, by both together.

    The second is loaded in the background once there is something to listen for. If it cannot be
    loaded, or fails, everything works as without it.
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
        first.doubted = self._ask_ahead
        self._decision = decision or SecondDecision.shipped()
        self._second = _Loading(load)
        self._forms: dict[str, tuple[str, ...]] = {}
        self._samples: list[Samples] = []
        self._ahead: _Question | None = None
        self._able = False

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm the first, and start to load the second."""
        self._first.listen_for(candidates)
        self._forms = {c.text: c.forms for c in candidates.candidates}
        self._able = not any(_long_number(c) for c in candidates.candidates)
        self._forget()
        self._second.start()

    def accept(self, samples: Samples) -> None:
        """Keep the samples for both."""
        self._first.accept(samples)
        self._samples.append(samples)
        if len(samples) and self._ahead is not None:
            self._ahead.drop()  # speech goes on: that was not all of it
            self._ahead = None

    def guess(self) -> Heard:
        """Return the first's guess on the samples so far; if that is in doubt, ask the second.

        Its answer is awaited only when the utterance has ended: until then it costs no time.
        """
        return self._first.guess()

    def decide(self) -> Heard:
        """Decide, with the second if the first is in doubt, and discard the samples."""
        heard = self._first.decide()
        opinion = self._first.latest
        if opinion is not None and self._doubtful(heard, opinion):
            heard = self._together(heard, opinion)
        self._forget()
        return heard

    def reset(self) -> None:
        """Discard the samples of the current utterance."""
        self._first.reset()
        self._forget()

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return what the first cannot report."""
        return self._first.unknown_words(words)

    def close(self) -> None:
        """Free both; safe to call twice."""
        self._first.close()
        self._second.drop()

    def _ask_ahead(self, heard: Heard) -> None:
        opinion = self._first.latest
        if opinion is not None and self._doubtful(heard, opinion):
            self._ahead = self._question(opinion)

    def _doubtful(self, heard: Heard, opinion: Opinion) -> bool:
        """Return True if the first is not sure, but heard something that may be a reply."""
        return (
            self._able
            and not heard.sure
            and not opinion.moved  # the evidence is about another phrase
            and opinion.reading.sound.phones != ()  # as noises are read
            and heard.confidence >= self._decision.plausible
        )

    def _question(self, opinion: Opinion) -> _Question:
        """Return the question about all samples so far, asked once for the same samples."""
        samples = np.concatenate(self._samples)
        if self._ahead is not None and self._ahead.length == len(samples):
            return self._ahead
        forms = {s.text: self._forms[s.text] for s in opinion.scores[:MOST_ASKED]}
        return _Question(self._second, samples, forms)

    def _together(self, heard: Heard, opinion: Opinion) -> Heard:
        started = time.perf_counter()
        text = self._question(opinion).answer()
        if text is None:
            return heard
        self.asked += 1
        scores = opinion.scores[:MOST_ASKED]
        first = FirstOpinion(scores, heard.confidence, opinion.reading, opinion.evidence)
        leader = self._decision.leader(first, text, ways_of(self._forms))
        chance = self._decision.chance(leader.evidence)
        took = heard.compute_ms + (time.perf_counter() - started) * 1000.0
        opposed = leader.text in self._first.phrases.contraries(heard.text)
        if opposed or not self._decision.suffices(chance, leader, self._first.phrases):
            return replace(heard, compute_ms=took)
        return replace(
            heard,
            text=leader.text,
            confidence=chance,
            sure=True,
            alternatives=other_candidates(opinion.scores, leader.text),
            misread=heard.misread and leader.text == heard.text,
            compute_ms=took,
        )

    def _forget(self) -> None:
        self._samples, self._ahead = [], None


def _long_number(candidate: Candidate) -> bool:
    accepted = candidate.role is CandidateRole.ACCEPTED
    return accepted and any(
        max(sum(c.isdigit() for c in str(value.number)), value.digits or 0) > MOST_DIGITS
        for value in candidate.values
    )


def ways_of(forms: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
    """Return the plain texts that each phrase may be written as."""
    return {text: _ways(spoken) for text, spoken in forms.items()}


@lru_cache(1024)
def _ways(spoken: tuple[str, ...]) -> frozenset[str]:
    return frozenset(plain_words(way) for form in spoken for way in written_variants(form))


class _Question:
    """A question to the second about one utterance; a thread of its own works on it."""

    def __init__(
        self, second: _Loading, samples: Samples, forms: dict[str, tuple[str, ...]]
    ) -> None:
        self.length = len(samples)
        self._answer: TextReading | None = None
        self._dropped = False
        self._work = second, samples, forms
        self._thread = threading.Thread(target=self._run, name="second opinion", daemon=True)
        self._thread.start()

    def answer(self) -> TextReading | None:
        """Return the answer as soon as it is there; None if there will be none."""
        self._thread.join(LONGEST_WAIT_S)
        return self._answer

    def drop(self) -> None:
        """Work on it no further."""
        self._dropped = True

    def _run(self) -> None:
        second, samples, forms = self._work
        try:
            scorer = second.wait()
            if scorer is not None:
                self._answer = scorer.read(samples, forms, lambda: not self._dropped)
        except Unwanted:
            return
        except Exception:  # whatever fails in it, the first one's answer is used
            second.drop()


class _Loading:
    """A second opinion being loaded by a thread of its own."""

    def __init__(self, load: Callable[[], TextScorer]) -> None:
        self._load = load
        self._scorer: TextScorer | None = None
        self._thread: threading.Thread | None = None
        self._dropped = False

    def start(self) -> None:
        """Start to load, unless that has already begun."""
        if self._thread is None and not self._dropped:
            self._thread = threading.Thread(target=self._run, name="second opinion", daemon=True)
            self._thread.start()

    def wait(self) -> TextScorer | None:
        """Return it as soon as it is there; None if there will be none."""
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
