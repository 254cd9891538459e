"""Extracts utterances from a stream of blocks: the same code for a microphone and a recording."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from callout.core.language.number_words import NUMBER_WORDS
from callout.core.language.respelled import as_listed
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Value, ValueKind
from callout.core.model.heard import Heard
from callout.hearing.segmenter import BLOCK, Cut, Segmenter
from callout.ports.hearing import Recogniser, Samples

LONG_NUMBER, FIXED_DIGITS, FREQUENCY_DECIMALS = 4, 3, 3
"""Numbers of digits after which nobody continues; "flaps one" may become "flaps one five"."""
LOWEST_OF_THREE = 100
"""The lowest flight level of three digits; none has four."""


class Turns:
    """Feeds speech to a recogniser as it arrives, and asks it when the speech is over."""

    def __init__(self, segmenter: Segmenter, recogniser: Recogniser) -> None:
        self._segmenter = segmenter
        self._recogniser = recogniser
        self.armed_at = 0.0
        """Seconds of audio taken when it was last armed."""
        self._ahead: tuple[float, Heard, float] | None = None
        """Seconds of silence at which it was already asked, the answer, and how long that took."""
        self.sound: Samples = np.zeros(0, np.int16)
        """Everything of the last utterance that the recogniser was given."""
        self._given: list[Samples] = []
        self._whole: frozenset[str] = frozenset()
        """Expected numbers that are complete once heard: no more digits are awaited."""
        self._closings: dict[str, frozenset[str]] = {}
        """What ends other expected numbers, as in "knots": letters alone, by the reply's text."""
        self._words: frozenset[str] = frozenset()
        """Expected replies without a number, with which no other phrase begins."""

    @property
    def clock(self) -> float:
        """Seconds of audio taken since the beginning."""
        return self._segmenter.clock

    @property
    def speaking(self) -> bool:
        """True while an utterance is under way."""
        return self._segmenter.speaking

    def drop(self) -> None:
        """Discard the current utterance."""
        self._begin_anew()

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm for an item; the current utterance is discarded."""
        self._recogniser.listen_for(candidates)
        self._segmenter.reset()
        self._given.clear()
        self.armed_at = self._segmenter.clock
        expected = [c for c in candidates.candidates if c.role is CandidateRole.ACCEPTED]
        self._segmenter.patient = any(c.values for c in expected)
        self._whole = frozenset(c.text for c in expected if _is_complete(c))
        self._closings = {c.text: _closings_of(c) for c in expected if c.values}
        forms = [form for c in candidates.candidates for form in c.forms]
        self._words = frozenset(
            c.text for c in expected if not c.values and not _goes_on(c.forms, forms)
        )

    def push(self, block: Samples) -> Heard | None:
        """Take up to 512 samples; return the utterance that they complete, if any."""
        full = np.pad(block, (0, BLOCK - len(block))) if len(block) < BLOCK else block
        cut = self._segmenter.push(full)
        if cut is Cut.STARTED:
            self._recogniser.reset()
            self._given.clear()
        if self._segmenter.speaking:
            fresh = self._segmenter.fresh()
            self._given.append(fresh)
            self._recogniser.accept(fresh)
        self._think_ahead()
        if cut is Cut.ENDED:
            return self._done(self._late())
        if cut is Cut.PAUSED:
            heard = self._early()
            return self._done(heard) if heard.sure and self._is_over(heard) else None
        return None

    def _is_over(self, heard: Heard) -> bool:
        """Return True if the silence so far ends what was heard.

        Inside a number more digits may follow; elsewhere a sure reply need not wait. A number is
        over if it was heard to its last digit, or up to its unit.
        """
        if not self._segmenter.patient or heard.text in self._words:
            return True
        said = _letters(as_listed(heard.transcript))
        closings = self._closings.get(heard.text, frozenset())
        ended = heard.text in self._whole or any(said.endswith(last) for last in closings)
        return ended and self._segmenter.silence >= self._segmenter.settings.end_silence

    def end(self) -> Heard | None:
        """End the stream: return the current utterance, if any."""
        return self._done(self._recogniser.decide()) if self._segmenter.speaking else None

    def close(self) -> None:
        """Free the recogniser."""
        self._recogniser.close()

    def _think_ahead(self) -> None:
        """Ask as soon as the sound is complete, while the silence that ends the utterance still
        runs.
        """
        if not self._segmenter.silence:
            self._ahead = None
        elif self._segmenter.settled:
            started = time.perf_counter()
            heard = self._recogniser.guess()
            self._ahead = self._segmenter.silence, heard, time.perf_counter() - started

    def _early(self) -> Heard:
        """Return what is heard so far; the computing time overlapped with the silence."""
        if self._ahead is None:
            return self._recogniser.guess()
        return replace(self._ahead[1], compute_ms=self._still_to_wait_ms())

    def _late(self) -> Heard:
        """Decide; what was worked out ahead may have taken longer than the silence."""
        heard, left = self._recogniser.decide(), self._still_to_wait_ms()
        return replace(heard, compute_ms=heard.compute_ms + left)

    def _still_to_wait_ms(self) -> float:
        if self._ahead is None:
            return 0.0
        since, _, took = self._ahead
        return max(0.0, took - (self._segmenter.silence - since)) * 1000.0

    def _done(self, heard: Heard) -> Heard:
        segmenter = self._segmenter
        waited = segmenter.clock - segmenter.last_speech
        timed = replace(heard, start=segmenter.started, end=segmenter.last_speech, waited=waited)
        self.sound = np.concatenate([*self._given, np.zeros(0, np.int16)])
        self._begin_anew()
        return timed

    def _begin_anew(self) -> None:
        self._segmenter.reset()
        self._recogniser.reset()
        self._given.clear()


def _is_complete(candidate: Candidate) -> bool:
    """Return True if nobody would continue after the candidate's values.

    They have a fixed number of digits (heading, transponder), or four digits or more that do not
    end in a scale word or in a shortened frequency.
    """
    return bool(candidate.values) and all(map(_cannot_go_on, candidate.values))


def _closings_of(candidate: Candidate) -> frozenset[str]:
    """Return what follows the last number in the forms: "knots", "rpm", "feet set"."""
    found = set()
    for form in candidate.forms:
        words = form.split()
        last = max((i for i, word in enumerate(words) if word in NUMBER_WORDS), default=-1)
        found.add(_letters("".join(words[last + 1 :])))
    return frozenset(found - {""})


def _goes_on(ways: Sequence[str], forms: Iterable[str]) -> bool:
    """Return True if one of the ways ends with a number, or one of the forms begins with it."""
    begun = tuple(f"{way} " for way in ways)
    numbered = any(way.split()[-1] in NUMBER_WORDS for way in begun)
    return numbered or any(form.startswith(begun) for form in forms)


def _letters(text: str) -> str:
    return "".join(sign for sign in text.lower() if sign.isalpha())


def _cannot_go_on(value: Value) -> bool:
    if value.digits is not None:
        return value.digits >= FIXED_DIGITS
    if value.kind is ValueKind.FLIGHT_LEVEL:
        return value.number >= LOWEST_OF_THREE
    if value.number % 100 == 0:
        return False  # "four thousand" may become "four thousand five hundred"
    shown = str(value.number)
    if value.kind is ValueKind.FREQUENCY:
        return len(shown.partition(".")[2]) >= FREQUENCY_DECIMALS
    return sum(c.isdigit() for c in shown) >= LONG_NUMBER


def hear_all(blocks: Iterable[Samples], turns: Turns) -> list[Heard]:
    """Return every utterance in a recording, heard as a live session would have heard it."""
    heard = [one for block in blocks if (one := turns.push(block))]
    last = turns.end()
    return [*heard, last] if last else heard
