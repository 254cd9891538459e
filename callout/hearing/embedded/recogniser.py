"""The embedded recogniser behind the hearing port."""

from __future__ import annotations

import time
from collections.abc import Iterable

import numpy as np

from callout.core.model.candidates import CandidateRole, CandidateSet
from callout.core.model.heard import Heard
from callout.hearing.denoise import denoised
from callout.hearing.embedded.acoustic import Acoustic
from callout.hearing.embedded.evidence import (
    AcousticReading,
    PhoneReading,
    PhraseScore,
    features,
    plain,
)
from callout.hearing.embedded.joint_decision import JointDecision, joined, more_words
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.network import END, Encoded, Network, Rows
from callout.hearing.embedded.opinions import Impression, Opinion, alternatives
from callout.hearing.embedded.phone_probe import PhoneProbe, best_path, frames_of, phrase_scores
from callout.hearing.embedded.phrases import (
    Phrase,
    Spelled,
    decoder_score,
    noise,
    prepare,
    tokens_of,
    weigh,
)
from callout.hearing.embedded.scoring import score
from callout.hearing.embedded.sharing import both
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.tries import AttemptMemory
from callout.hearing.embedded.weights import Floats, Weights
from callout.hearing.framing import frame
from callout.ports.hearing import SAMPLE_RATE, Samples

SHORTEST = int(0.06 * SAMPLE_RATE)
"""Fewer samples than this are no speech."""
NOISE_SEEDS = (1, 2, 3)


class EmbeddedRecogniser:
    """Phrase scoring with the weights in the package; see the package's docstring.

    Raises ModelNotFound, with the install command, if the weights are missing.
    """

    name = "embedded"

    def __init__(self, decision: JointDecision | None = None) -> None:
        weights = Weights.shipped()
        self._network: Network | None = Network(weights)
        self._tokenizer = Tokenizer.from_bytes(weights.tokens)
        self._lexicon = Lexicon.shipped()
        self._probe = PhoneProbe.shipped()
        self.acoustic = Acoustic.shipped()
        """May be replaced to measure another; the decision is fitted to the shipped one."""
        self._decision = decision or joined()
        closing = {self._tokenizer.encode("on" + mark)[-1] for mark in (".", "!", "?", "...")}
        self._ends = (END, *sorted(closing))
        self._phrases: dict[str, Phrase] = {}
        self._written: dict[str, set[str]] = {}
        self._prepared: dict[tuple[str, tuple[str, ...]], Phrase] = {}
        self._rooms: list[tuple[Encoded, Rows]] = []
        self._samples: list[Samples] = []
        self._tries = AttemptMemory()
        self._thought: tuple[int, Opinion | None] | None = None
        """The opinion on the first so many samples of the utterance under way."""
        self.latest: Opinion | None = None
        """What the latest decision or guess was taken on."""

    def listen_for(self, candidates: CandidateSet) -> None:
        """Prepare the item's phrases; what was prepared for an earlier item is kept."""
        fresh: list[Phrase] = []
        phrases: dict[str, Phrase] = {}
        for candidate in candidates.candidates:
            key = (candidate.text, candidate.forms)
            if key not in self._prepared:
                made = prepare(candidate, self._tokenizer, self._lexicon)
                self._prepared[key] = made
                fresh.append(made)
            phrases[candidate.text] = self._prepared[key]
        self._phrases = {text: p for text, p in phrases.items() if p.spellings}
        self._written = {
            text: {plain(s) for s in p.spellings.values()} for text, p in self._phrases.items()
        }
        self._measure_noise([p for p in fresh if p.spellings])
        self._tries = AttemptMemory()
        self.reset()

    def accept(self, samples: Samples) -> None:
        """Keep the samples; all work is done when the utterance ends."""
        self._samples.append(samples)

    def guess(self) -> Heard:
        """Decide on the samples so far and keep them."""
        return self._consider(keep=False)

    def decide(self) -> Heard:
        """Decide, remember a doubtful try for the next one, and forget the samples."""
        heard = self._consider(keep=True)
        self.reset()
        return heard

    def reset(self) -> None:
        """Forget the samples of the utterance under way."""
        self._samples = []
        self._thought = None

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return words with a character the network has no token for."""
        return tuple(w for w in words if tokens_of(w, self._tokenizer) is None)

    def close(self) -> None:
        """Free the network; listening afterwards hears nothing."""
        self._network = None

    def opinion(self, samples: Samples) -> Opinion | None:
        """Score one utterance against the prepared phrases; None for no speech at all."""
        impression = self.impression(samples)
        return None if impression is None else self.weigh(impression, self._probe)

    def impression(self, samples: Samples) -> Impression | None:
        """Run the network over one utterance; None for no speech at all."""
        network = self._awake(samples)
        if network is None:
            return None
        clearer, snr_db = denoised(samples)
        (encoded, root), sounds = both(
            lambda: network.encode(frame(clearer)), lambda: self.acoustic.read(samples)
        )
        wanted = {t for p in self._phrases.values() for t in p.spellings}
        scores = score(network, encoded, root, wanted, self._ends)
        return Impression(frames_of(encoded.hidden), scores, sounds, snr_db)

    def frames(self, samples: Samples) -> Floats:
        """Return the encoder's frames of one utterance alone, (n, 288); none for no speech."""
        if (network := self._awake(samples)) is None:
            return np.zeros((0, 288), np.float32)
        encoded, _ = network.encode(frame(denoised(samples)[0]))
        return frames_of(encoded.hidden)

    def _awake(self, samples: Samples) -> Network | None:
        """Return the network if there is one still, and speech for it."""
        return self._network if len(samples) >= SHORTEST and np.any(samples) else None

    def weigh(self, impression: Impression, probe: PhoneProbe) -> Opinion:
        """Weigh the prepared phrases with a phone reading by ``probe``."""
        read, path = self._spelled(probe.read(impression.frames))
        sounded, phones = self._spelled(impression.sounds)
        reading = PhoneReading(
            self._tokenizer.decode(impression.scores.free),
            impression.scores.free_score,
            path,
            read.best,
            impression.snr_db,
            AcousticReading.of(phones, sounded.best, impression.sounds),
        )
        weighed = [weigh(p, impression.scores, read, sounded) for p in self._phrases.values()]
        ranked = self._decision.mix.ranked(weighed)
        return Opinion(ranked, self.evidence(ranked, reading), reading)

    def evidence(self, ranked: tuple[PhraseScore, ...], reading: PhoneReading) -> tuple[float, ...]:
        """Return the numbers the decision is taken on; empty without candidates."""
        if not ranked:
            return ()
        best = self._phrases[ranked[0].text]
        return features(ranked, tuple(best.spellings.values()), best.sounds, reading)

    def _spelled(self, frames: Floats) -> tuple[Spelled, tuple[int, ...]]:
        """Return how each pronunciation did in a reading, and what it reads without them."""
        path = best_path(frames) if len(frames) else ()
        sounds = list(dict.fromkeys(s for p in self._phrases.values() for s in p.sounds))
        *numbers, best = phrase_scores(frames, [*sounds, path or (1,)]).tolist()
        return Spelled(dict(zip(sounds, numbers, strict=True)), best), path

    def _consider(self, *, keep: bool) -> Heard:
        started = time.perf_counter()
        joined = np.concatenate(self._samples) if self._samples else np.zeros(0, np.int16)
        if self._thought is None or self._thought[0] != len(joined):
            self._thought = len(joined), self.opinion(joined)
        opinion = self.latest = self._thought[1]
        if opinion is None or not opinion.scores:
            return Heard("", opinion.reading.text if opinion else "", engine=self.name)
        odds = self._decision.score(opinion.evidence)
        judged = self._tries.weigh(opinion.scores, odds + opinion.own)
        confidence, sure = self._certainty(opinion, judged.score, judged.score - odds)
        if keep:
            self._tries = (
                AttemptMemory() if sure else self._tries.after(opinion.scores, judged.score)
            )
        return Heard(
            text=judged.text,
            transcript=opinion.reading.text,
            confidence=confidence,
            sure=sure,
            alternatives=alternatives(opinion.scores, judged.text),
            compute_ms=(time.perf_counter() - started) * 1000.0,
            engine=self.name,
        )

    def _certainty(self, opinion: Opinion, score: float, added: float) -> tuple[float, bool]:
        """Return the probability of the best phrase, and whether it suffices to be sure."""
        decision = self._decision
        joint = decision.confidence(score)
        alone = 0.0 if opinion.moved else decision.by_network(opinion.evidence, added)
        more = more_words(plain(opinion.reading.text), self._written[opinion.scores[0].text])
        sure = (
            opinion.reading.sound.phones != ()  # as noises are read, all of them
            and decision.suffices(joint, alone, more)
            and not self._contradicted(opinion)
        )
        return max(joint, alone), sure

    def _contradicted(self, opinion: Opinion) -> bool:
        """Return True if the free transcript is, word for word, a candidate other than the best.

        Two opinions that name different replies are no certainty, whatever the scores say.
        """
        heard = plain(opinion.reading.text)
        best = opinion.scores[0].text
        others = (ways for text, ways in self._written.items() if text != best)
        return heard not in ("", *self._written[best]) and any(heard in ways for ways in others)

    def _measure_noise(self, phrases: list[Phrase]) -> None:
        """Score phrases on mere noise; a near number shares the level of the expected one."""
        if not phrases or self._network is None:
            return
        if not self._rooms:
            self._rooms = [self._network.encode(frame(noise(seed))) for seed in NOISE_SEEDS]
        expected = [p for p in phrases if p.candidate.role is CandidateRole.ACCEPTED]
        valued = any(p.candidate.values for p in expected)
        measured = [p for p in phrases if p in expected or not (valued and p.candidate.values)]
        wanted = {t for p in measured for t in p.spellings}
        rooms = [
            score(self._network, encoded, root, wanted, self._ends, prune=30.0)
            for encoded, root in self._rooms
        ]
        for phrase in measured:
            phrase.noise = float(np.median([decoder_score(phrase, room) for room in rooms]))
        shared = next((p.noise for p in expected if p.candidate.values), None)
        for phrase in phrases:
            if phrase not in measured and shared is not None:
                phrase.noise = shared
