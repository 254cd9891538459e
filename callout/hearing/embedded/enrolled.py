"""The embedded recogniser for people whose voices are enrolled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from callout.core.model.heard import Heard
from callout.hearing.colour import colour_of
from callout.hearing.embedded.adapting import OtherWords, SpokenTake, fit_probe
from callout.hearing.embedded.joint_decision import JointDecision
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.opinions import Impression, Opinion
from callout.hearing.embedded.own_voice import OwnWords, second_look
from callout.hearing.embedded.phone_probe import PhoneProbe
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.voices import Voice, VoiceTake
from callout.hearing.who import Who, named_speaker
from callout.ports.hearing import Samples


def learn_change(voice: Voice, more: Sequence[VoiceTake] = ()) -> Voice:
    """Return the voice with the phone reading adapted to it; takes some seconds.

    more: further takes to learn from that are not stored, as heard in other rooms.
    """
    probe, lexicon, other = PhoneProbe.shipped(), Lexicon.shipped(), OtherWords.shipped()
    takes = [SpokenTake(take.frames, lexicon.phrase(take.word)) for take in (*voice.takes, *more)]
    rows = zip(other.frames, other.texts, strict=True)
    weights = fit_probe(
        probe, takes, [SpokenTake(f, lexicon.phrase(text)) for f, text in rows]
    ).weights
    moves = {name: weights[name] - before for name, before in probe.weights.items()}
    return replace(voice, moves=moves, moved_from=probe.mark)


def is_learnt(voice: Voice, probe: PhoneProbe) -> bool:
    """Return True if the voice was learnt with this phone reading."""
    shapes = {name: weights.shape for name, weights in probe.weights.items()}
    mine = {name: move.shape for name, move in voice.moves.items()}
    return voice.moved_from == probe.mark and mine == shapes


class EnrolledRecogniser(EmbeddedRecogniser):
    """Compares every reply with the enrolled voices, and names the speaker if that is clear."""

    def __init__(self, voices: Sequence[Voice], decision: JointDecision | None = None) -> None:
        super().__init__(decision)
        self._heard: tuple[Samples, Impression] | None = None
        self._general = self._probe
        self.know(voices)

    def know(self, voices: Sequence[Voice]) -> None:
        """Compare with these people from now on; without any, it hears as without enrolment."""
        known = [
            voice if is_learnt(voice, self._general) else learn_change(voice) for voice in voices
        ]
        self._probe = self._general.moved([voice.moves for voice in known])
        self._own = OwnWords(voices)
        self._who = Who(voices)
        self._several = len(voices) > 1
        self.reset()

    def opinion(self, samples: Samples) -> Opinion | None:
        """Score one utterance, then compare it with the people's own words; None if there is no
        speech.
        """
        self._heard = None
        impression = self.impression(samples)
        if impression is None:
            return None
        self._heard = samples, impression
        return self.looked_at(impression, self.weigh(impression, self._probe))

    def considered(self, samples: Samples) -> Opinion | None:
        """Return the whole opinion: the person's own words may put another phrase first."""
        return self.opinion(samples)

    def looked_at(self, impression: Impression, opinion: Opinion) -> Opinion:
        """Return the opinion after a second look with the enrolled voices."""
        if not opinion.scores:
            return opinion
        near = self._own.near(impression.frames)
        spoken = {text: p.candidate.forms for text, p in self.phrases.phrases.items()}
        base = self._decision.score(opinion.evidence)
        look = second_look(opinion.scores, base, near, spoken)
        moved = look.scores[0].text != opinion.scores[0].text
        return replace(opinion, scores=look.scores, own=look.added, moved=moved)

    def guess(self) -> Heard:
        """Decide on the samples so far, and name the speaker."""
        return self._with_voice(super().guess())

    def decide(self) -> Heard:
        """Decide, and name the speaker."""
        return self._with_voice(super().decide())

    def _with_voice(self, heard: Heard) -> Heard:
        if not self._several or self._heard is None or not heard.text:
            return heard
        samples, impression = self._heard
        known = self.phrases.phrases
        forms = known[heard.text].candidate.forms if heard.text in known else ()
        by_word = self._own.by_word(impression.frames) if heard.sure else {}
        word = next((by_word[form] for form in forms if form in by_word), {})
        return replace(heard, voice=named_speaker(self._who.chances(colour_of(samples), word)))
