"""The embedded recogniser behind the hearing port."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from callout.core.model.candidates import Candidate, CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.denoise import reduce_and_measure
from callout.hearing.embedded.acoustic import Acoustic
from callout.hearing.embedded.evidence import PhoneReading, PhraseScore, evidence_features
from callout.hearing.embedded.fuller_search import search_fuller
from callout.hearing.embedded.joint_decision import JointDecision, joint_decision
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.looking import first_look, whole_look
from callout.hearing.embedded.misread import is_misread
from callout.hearing.embedded.near_search import NEAR
from callout.hearing.embedded.network import END, Network
from callout.hearing.embedded.noise_rooms import NoiseRooms
from callout.hearing.embedded.opinions import (
    Impression,
    Opinion,
    certainty,
    clear_opinion,
    fuller_answer,
    judged_alone,
    other_candidates,
    reading_of,
)
from callout.hearing.embedded.phone_probe import PhoneProbe, frames_of
from callout.hearing.embedded.phrase_book import NOTHING, PhraseBook, PhraseSet
from callout.hearing.embedded.phrases import Pronounced, tokens_of, weigh_phrase
from callout.hearing.embedded.scoring import PRUNE, Scores, Tokens
from callout.hearing.embedded.sharing import share_heap, trim_heap
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.tries import AttemptMemory
from callout.hearing.embedded.weights import Floats, Weights
from callout.hearing.framing import frame_samples
from callout.ports.hearing import SAMPLE_RATE, Samples

SHORTEST = int(0.06 * SAMPLE_RATE)  # fewer samples are not speech


class EmbeddedRecogniser:
    """Scores phrases with the weights in the package; see the package's docstring.

    Raises ModelNotFound, with the install command, if the weights are missing.
    """

    name = "embedded"

    def __init__(self, decision: JointDecision | None = None) -> None:
        share_heap()
        weights = Weights.shipped()
        self._network: Network | None = Network(weights)
        self._tokenizer = Tokenizer.from_bytes(weights.tokens)
        self._lexicon = Lexicon.shipped()
        self._probe = PhoneProbe.shipped()
        self.acoustic = Acoustic.shipped()
        """May be replaced for measurements; the decision is fitted to the shipped one."""
        self._decision = decision or joint_decision()
        closing = {self._tokenizer.encode("on" + mark)[-1] for mark in (".", "!", "?", "...")}
        self._ends = (END, *sorted(closing))
        self._book = PhraseBook(self._tokenizer, self._lexicon, self._on_noise)
        self.phrases = NOTHING
        """What is listened for."""
        self._fuller: Callable[[str], tuple[Candidate, ...]] | None = None
        self._impression: Impression | None = None
        self._rooms = NoiseRooms(self._ends)
        self._samples: list[Samples] = []
        self._tries = AttemptMemory()
        self._thought: tuple[int, Opinion | None] | None = None
        """The opinion on the first so many samples of the current utterance."""
        self._looked: tuple[Opinion, tuple[str, float] | None] | None = None
        """What a look for fuller answers gave after an opinion."""
        self.latest: Opinion | None = None
        """What the latest decision or guess was based on."""
        self.widened = False
        """True: the latest reply was found in a fuller way to say an answer."""
        self.doubted: Callable[[Heard], None] = lambda heard: None
        """Called with a guess in doubt, before more is worked out on it."""

    def listen_for(self, candidates: CandidateSet) -> None:
        """Prepare the item's phrases; preparations for earlier items are kept."""
        self.phrases = self._book.open(candidates.candidates)
        self._fuller = candidates.fuller
        self._tries = AttemptMemory()
        self.reset()
        trim_heap()  # preparing phrases takes more memory than a reply does

    def accept(self, samples: Samples) -> None:
        """Keep the samples; all work is done when the utterance ends."""
        self._samples.append(samples)

    def guess(self) -> Heard:
        """Decide on the samples so far and keep them.

        In doubt, what ``decide`` needs for the same samples is worked out already.
        """
        heard = self._consider(keep=False)
        if not heard.sure and self.latest is not None and self.latest.scores:
            self.doubted(heard)
            self._fuller_reply(self.latest)
        return heard

    def decide(self) -> Heard:
        """Decide, remember a doubtful attempt for the next one, and discard the samples."""
        heard = self._consider(keep=True)
        self.reset()
        return heard

    def reset(self) -> None:
        """Discard the samples of the current utterance."""
        self._samples = []
        self._thought = self._impression = self._looked = None

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return words with a character the network has no token for."""
        return tuple(w for w in words if tokens_of(w, self._tokenizer) is None)

    def close(self) -> None:
        """Free the network; listening afterwards hears nothing."""
        self._network = None

    def opinion(self, samples: Samples) -> Opinion | None:
        """Score one utterance against the prepared phrases; None if there is no speech."""
        impression = self.impression(samples)
        return None if impression is None else self.weigh(impression, self._probe)

    def impression(self, samples: Samples) -> Impression | None:
        """Run the network over one utterance; None if there is no speech."""
        return self._look(samples, PRUNE)

    def _look(self, samples: Samples, near: float) -> Impression | None:
        if (network := self._awake(samples)) is None:
            return None
        told, read = self.phrases, self.acoustic.read
        self._impression = first_look(network, self._ends, read, self._probe, told, samples, near)
        return self._impression

    def considered(self, samples: Samples) -> Opinion | None:
        """Return the opinion to decide by; what cannot change the decision is not worked out."""
        if (seen := self._look(samples, NEAR)) is None:
            return None
        opinion = self.weigh(seen, self._probe)
        if seen.near is None or not opinion.scores:
            return opinion
        highest = seen.near.most(self.phrases.groups)
        most = self.weigh(replace(seen, scores=highest), self._probe)
        if clear := clear_opinion(opinion, most, self._decision, self.phrases, self._more_said):
            return clear
        self._impression = whole_look(self._network, self._ends, seen)
        return self.weigh(self._impression, self._probe)

    def frames(self, samples: Samples) -> Floats:
        """Return the encoder's frames of one utterance, (n, 288); none without speech."""
        if (network := self._awake(samples)) is None:
            return np.zeros((0, 288), np.float32)
        return frames_of(network.encode(frame_samples(reduce_and_measure(samples)[0]))[0].hidden)

    def _awake(self, samples: Samples) -> Network | None:
        """Return the network, if it has not been closed, and speech for it."""
        return self._network if len(samples) >= SHORTEST and np.any(samples) else None

    def weigh(
        self, impression: Impression, probe: PhoneProbe, among: PhraseSet | None = None
    ) -> Opinion:
        """Weigh the prepared phrases, or others, with the phones read by ``probe``."""
        told = self.phrases if among is None else among
        said = impression.pronounced
        if said is None or said.probe is not probe or said.sounds != told.sounds:
            said = Pronounced.of(probe, impression.frames, impression.sounds, told.sounds)
        reading = reading_of(impression, said, self._tokenizer.decode(impression.scores.free))
        weighed = [
            weigh_phrase(p, impression.scores, said.read, said.sounded)
            for p in told.phrases.values()
        ]
        ranked = self._decision.mix.ranked(weighed)
        return Opinion(ranked, self.evidence(ranked, reading, told), reading)

    def evidence(
        self, ranked: tuple[PhraseScore, ...], reading: PhoneReading, among: PhraseSet | None = None
    ) -> tuple[float, ...]:
        """Return the features that the decision is based on; empty without candidates."""
        if not ranked:
            return ()
        best = (self.phrases if among is None else among).phrases[ranked[0].text]
        return evidence_features(ranked, tuple(best.spellings.values()), best.sounds, reading)

    def _consider(self, *, keep: bool) -> Heard:
        started, self.widened = time.perf_counter(), False
        joined = np.concatenate(self._samples) if self._samples else np.zeros(0, np.int16)
        if self._thought is None or self._thought[0] != len(joined):
            self._thought = len(joined), self.considered(joined)
        opinion = self.latest = self._thought[1]
        if opinion is None or not opinion.scores:
            return Heard("", opinion.reading.text if opinion else "", engine=self.name)
        latest = judged_alone(self._decision, opinion, self.phrases)
        judged = self._tries.weigh(replace(latest, score=latest.score + opinion.own))
        added = judged.score - latest.score
        confidence, sure = certainty(self._decision, opinion, self.phrases, judged, added)
        text = best = judged.text
        if self._more_said(opinion):
            confidence, sure = 0.0, False  # no further opinion on the answer alone, either
        if keep and not sure and (other := self._fuller_reply(opinion)) is not None:
            (text, confidence), sure, self.widened = other, True, True
        if keep:
            self._tries = AttemptMemory() if sure else AttemptMemory.of(judged)
        return Heard(
            text=text,
            transcript=opinion.reading.text,
            confidence=confidence,
            sure=sure,
            alternatives=other_candidates(opinion.scores, text),
            compute_ms=(time.perf_counter() - started) * 1000.0,
            engine=self.name,
            misread=text == best and is_misread(opinion, self._impression, self._lexicon),
        )

    def _more_said(self, opinion: Opinion) -> bool:
        text = opinion.scores[0].text
        return bool(self._fuller) and self.phrases.has_more(text, opinion.reading.text)

    def _fuller_reply(self, first: Opinion) -> tuple[str, float] | None:
        """Return answer and probability if a fuller way to say it is sure; one attempt counts."""
        if self._looked is None or self._looked[0] is not first:
            self._looked = first, self._search_fuller(first)
        return self._looked[1]

    def _search_fuller(self, first: Opinion) -> tuple[str, float] | None:
        seen, network = self._impression, self._network
        more = self._fuller(first.reading.text) if self._fuller else ()
        if not more or seen is None or network is None:
            return None

        def decide(wider: Impression, told: PhraseSet) -> tuple[str, float] | None:
            opinion = self.weigh(wider, self._probe, told)
            return fuller_answer(opinion, first, self._decision, told, more)

        known, probe = self.phrases, self._probe
        return search_fuller(network, self._ends, self._book, probe, known, more, seen, decide)

    def _on_noise(self, wanted: set[Tokens]) -> list[Scores]:
        return self._rooms.scores(self._network, wanted) if self._network else []
