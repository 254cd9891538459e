"""The embedded recogniser, with two more that are asked when it is in doubt."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from callout.core.model.candidates import CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.chain.phrase_fit import PhraseFit
from callout.hearing.chain.reading import ChainReading
from callout.hearing.embedded.opinions import Opinion, other_candidates
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.embedded.standing import lead_over
from callout.hearing.second_opinion.longer import Believed, Doubted, LongerDecision
from callout.hearing.second_opinion.questions import (
    MOST_ASKED,
    Answers,
    Asked,
    Loading,
    Question,
    installed,
)
from callout.hearing.second_opinion.spoken_ways import is_long_number, is_word, ways_of
from callout.hearing.second_opinion.third import ThirdDecision, confirmation
from callout.hearing.second_opinion.weighing import FirstOpinion, Leader, SecondDecision
from callout.ports.hearing import Samples


class AskingRecogniser:
    """Decides like the first recogniser or, in doubt, by all together.

    The others are loaded in the background once there is something to listen for. If they cannot
    be loaded, or fail, everything works as without them.
    """

    def __init__(
        self,
        first: EmbeddedRecogniser,
        decision: SecondDecision | None = None,
        load: Callable[[], Asked] = installed,
        third: ThirdDecision | None = None,
        longer: LongerDecision | None = None,
    ) -> None:
        self.name = first.name
        self.asked = 0
        """How many utterances the second was asked about."""
        self._first = first
        first.doubted = self._ask_ahead
        self._decision = decision or SecondDecision.shipped()
        self._third = third or ThirdDecision.shipped()
        self._longer = longer or LongerDecision.shipped()
        self._second = Loading(load)
        self._forms: dict[str, tuple[str, ...]] = {}
        self._samples: list[Samples] = []
        self._ahead: Question | None = None
        self._read: tuple[int, ChainReading] | None = None
        """The third's reading of the first so many samples of the current utterance."""
        self._able = False

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm the first, and start to load the second."""
        self._first.listen_for(candidates)
        self._forms = {c.text: c.forms for c in candidates.candidates}
        self._able = not any(is_long_number(c) for c in candidates.candidates)
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
        return self._questioned(self._first.guess())

    def decide(self) -> Heard:
        """Decide, with the second if the first is in doubt, and discard the samples."""
        heard = self._first.decide()
        opinion = self._first.latest
        if heard.sure:
            heard = self._questioned(heard)
        elif opinion is not None and self._doubtful(heard, opinion):
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

    def _questioned(self, heard: Heard) -> Heard:
        """Return it unsure if the first is not nearly certain and the third speaks against it."""
        started = time.perf_counter()
        listened = heard.sure and self._able and heard.text in self._first.phrases.phrases
        opposed = listened and self._opposed(heard)
        took = heard.compute_ms + (time.perf_counter() - started) * 1000.0
        return replace(heard, sure=heard.sure and not opposed, compute_ms=took)

    def _opposed(self, heard: Heard) -> bool:
        """Return True if the third hears a contrary word, or that a longer answer does not fit."""
        among, text = self._first.phrases, heard.text
        if is_word(self._forms[text]):
            rivals = among.contraries(text) if heard.confidence < self._third.certain else ()
            reading = self._third_reading() if rivals else None
            return reading is not None and self._third.opposes(
                reading, text, heard.confidence, rivals
            )
        plain = self._answers(text) and not self._first.widened
        if heard.confidence >= self._longer.certain or not plain:
            return False
        reading = self._third_reading()
        fit = self._fit(text) if reading is not None and text in reading.phrases else None
        if reading is None or fit is None:
            return False
        lead = lead_over(reading.phrases, text, reading.phrases.keys() - {text})
        ways = ways_of(self._forms)[text]
        return self._longer.gainsays(Believed(heard.confidence, heard.transcript, ways, lead, fit))

    def _answers(self, text: str) -> bool:
        """Return True if the phrase is an expected answer, and not a command or a wrong reply."""
        return self._first.phrases.phrases[text].candidate.role is CandidateRole.ACCEPTED

    def _fit(self, text: str) -> PhraseFit | None:
        """Return how all samples so far fit one phrase; None if the third is not there."""
        asked = self._second.wait()
        if asked is None or asked.third is None:
            return None
        try:
            return asked.third.fit(np.concatenate(self._samples), self._forms[text])
        except Exception:  # whatever fails in it, the first one's answer is used
            self._second.drop()
            return None

    def _third_reading(self) -> ChainReading | None:
        """Return what the third reads of all samples so far; None if it is not there."""
        asked = self._second.wait()
        if asked is None or asked.third is None:
            return None
        samples = np.concatenate(self._samples)
        if self._read is None or self._read[0] != len(samples):
            try:
                self._read = len(samples), asked.third.read(samples, self._forms)
            except Exception:  # whatever fails in it, the first one's answer is used
                self._second.drop()
                return None
        return self._read[1]

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

    def _question(self, opinion: Opinion) -> Question:
        """Return the question about all samples so far, asked once for the same samples."""
        samples = np.concatenate(self._samples)
        if self._ahead is not None and self._ahead.length == len(samples):
            return self._ahead
        return Question(self._second, samples, [s.text for s in opinion.scores], self._forms)

    def _together(self, heard: Heard, opinion: Opinion) -> Heard:
        started = time.perf_counter()
        answers = self._question(opinion).answer()
        if answers is None:
            return heard
        self.asked += 1
        scores = opinion.scores[:MOST_ASKED]
        first = FirstOpinion(scores, heard.confidence, opinion.reading, opinion.evidence)
        leader = self._decision.leader(first, answers.text, ways_of(self._forms))
        chance = self._decision.chance(leader.evidence)
        opposed = leader.text in self._first.phrases.contraries(heard.text)
        sure = self._decision.suffices(chance, leader, self._first.phrases)
        if not sure and not opposed and answers.heard is not None:
            chance, sure = self._confirmed(answers, answers.heard, leader, chance, first)
        took = heard.compute_ms + (time.perf_counter() - started) * 1000.0
        if opposed or not sure:
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

    def _confirmed(
        self,
        answers: Answers,
        heard: ChainReading,
        leader: Leader,
        chance: float,
        first: FirstOpinion,
    ) -> tuple[float, bool]:
        """Return the probability by all three, and whether it is enough to be sure.

        A word that lies within another phrase must stand above all others as above a contrary one:
        "locked" may be what was heard of "unlocked". In a longer phrase another word may hide, so
        the worst of it counts; and only in an answer ("before starting checklist" is no call).
        """
        among, others = self._first.phrases, heard.phrases.keys() - {leader.text}
        contraries = among.contraries(leader.text)
        word = is_word(self._forms[leader.text])
        rivals = others if word and among.lies_within(leader.text) else contraries
        found = confirmation(heard, leader, chance, first, rivals)
        over_contrary = leader.lead(contraries)
        if found is not None and word:
            together = self._third.chance(found.evidence)
            return together, self._third.confirms(together, found, over_contrary)
        fit = self._fit(leader.text) if found and self._answers(leader.text) else None
        if found is None or fit is None:
            return chance, False
        written, ways = (first.reading.text, answers.text.text), ways_of(self._forms)[leader.text]
        doubted = Doubted(leader, chance, written, ways, over_contrary, found.over_rivals, fit)
        confirmed = self._longer.confirms(doubted, found.lead)
        return confirmed or chance, confirmed is not None

    def _forget(self) -> None:
        self._samples, self._ahead, self._read = [], None, None
