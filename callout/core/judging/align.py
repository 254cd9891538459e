"""Matches a whole reply against an answer: every word must be accounted for.

Whole phrases are never matched by similarity. A reply fits only if each of its words is a word or
number of the answer, an echo of the challenge, or on a short list of words that say nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.judging.ignorable_words import Passing
from callout.core.judging.likeness import word_length
from callout.core.judging.pattern import SOME_NUMBER, Pattern
from callout.core.judging.reply import ParsedReply, echo_allowed
from callout.core.judging.runs import WordRun
from callout.core.language import values
from callout.core.language.sequence import Element, Number, Sequence, SequenceWord
from callout.core.model.expectation import Value

_IN_FULL = {"full", "fully"}
_MOST_STEPS = 4000


class Matcher:
    """Tries one sequence of elements on one prepared reply."""

    def __init__(
        self, reply: ParsedReply, sequence: Sequence, pattern: Pattern, strict: bool = False
    ) -> None:
        self.reply = reply
        self.tokens = reply.tokens
        self.tables = reply.tables
        self.sequence = sequence
        self.pattern = pattern
        self.passing = Passing(reply, sequence, pattern, strict)
        self.unsaid = _already_said(sequence, reply)
        self.matched: list[tuple[str, str]] = []
        self._budget = _MOST_STEPS

    def whole(self) -> bool:
        """True when the reply says the whole sequence and nothing else."""
        return self._from(0, 0, 0)

    def _from(self, i: int, e: int, said: int) -> bool:
        self._budget -= 1
        if self._budget < 0:
            return False
        if e == len(self.sequence):
            return bool(said) and self._tail(i)
        element = self.sequence[e]
        for end, note in self._ends(i, e, element):
            self.matched.append(note)
            if self._from(end, e + 1, said + 1):
                return True
            self.matched.pop()
        if self._two_in_one(i, e) and self._from(i + 1, e + 2, said + 2):
            return True
        if (element.optional or e < self.unsaid) and self._from(i, e + 1, said):
            return True
        return any(self._from(i + n, e, said) for n in self.passing.lengths(i, e, said))

    def _ends(self, i: int, e: int, element: Element) -> Iterator[tuple[int, tuple[str, str]]]:
        if i >= len(self.tokens):
            return
        if isinstance(element, SequenceWord):
            taken = word_length(self.tokens, i, element.text, self.reply)
            if taken and self._cut_from(i + taken - 1, e):
                return
            if taken or self._in_full(i, e):
                taken = taken or 1
                said = " ".join(t.text for t in self.tokens[i : i + taken])
                yield i + taken, (said, element.text)
            return
        if element.value.number == 0 and (taken := word_length(self.tokens, i, "0", self.reply)):
            said = " ".join(t.text for t in self.tokens[i : i + taken])
            yield i + taken, (said, "0")
        for run in self.reply.runs[i]:
            fit = values.fit_value(element.value, run.reading, run.unit, self.tables)
            if fit is values.Fit.SAME and self._unit_fits(element.value, run):
                said = " ".join(t.text for t in self.tokens[i : run.after])
                yield run.after, (said, str(element.value.number))

    def _unit_fits(self, value: Value, run: WordRun) -> bool:
        """When the list gives several numbers without units, none may be said with a unit."""
        several = len(self.pattern.values) > 1 and value.unit is None
        return not several or run.unit in (None, *values.PLAIN_UNITS)

    def _cut_from(self, i: int, e: int) -> bool:
        """ "No, flags" for "no flags": the pause separates "no" from the rest."""
        if self.tokens[i].text not in self.tables.negations or i + 1 >= len(self.tokens):
            return False
        joint = e + 1 >= len(self.sequence) or self.sequence[e + 1].joint
        return self.tokens[i + 1].pause and not joint

    def _in_full(self, i: int, e: int) -> bool:
        """ "Full forward" for "fully forward", and the other way round."""
        element = self.sequence[e]
        if not isinstance(element, SequenceWord) or {element.text, self.tokens[i].text} != _IN_FULL:
            return False
        if e + 1 >= len(self.sequence) or i + 1 >= len(self.tokens):
            return False
        following = self.sequence[e + 1]
        return isinstance(following, SequenceWord) and following.text == self.tokens[i + 1].text

    def _two_in_one(self, i: int, e: int) -> bool:
        """ "Crossfeed" for two listed words, or the reverse."""
        if i >= len(self.tokens) or e + 1 >= len(self.sequence):
            return False
        a, b = self.sequence[e], self.sequence[e + 1]
        return (
            isinstance(a, SequenceWord)
            and isinstance(b, SequenceWord)
            and self.tokens[i].text == a.text + b.text
        )

    def _tail(self, i: int) -> bool:
        """True when only harmless words, or the answer again, follow."""
        if i >= len(self.tokens):
            return True
        if self._repeats(i):
            return True
        return any(
            self._tail(i + n)
            for n in self.passing.lengths(i, len(self.sequence), 1)
            if i + n < len(self.tokens) or self.tokens[-1].text not in self.tables.dangling
        )

    def _repeats(self, i: int) -> bool:
        """The whole answer said again; a short number right after a number is not a repeat."""
        before, here = self.tokens[i - 1], self.tokens[i]
        if before.piece and here.piece:
            digits = {
                c for e in self.sequence if isinstance(e, Number) for c in str(e.value.number)
            }
            if len(digits - set(".-")) < 3:
                return False
        return self._from(i, 0, 0)


def _already_said(sequence: Sequence, reply: ParsedReply) -> int:
    """Return how many leading words the challenge already contains ("landing lights" on)."""
    length = 0
    at = 0
    for element in sequence[:-1]:
        if not isinstance(element, SequenceWord) or element.text not in reply.challenge[at:]:
            break
        at = reply.challenge.index(element.text, at) + 1
        length += 1
    run = tuple(e.text for e in sequence[:length] if isinstance(e, SequenceWord))
    return length if length and echo_allowed(run, reply.challenge, reply.tables) else 0


def align_reply(
    reply: ParsedReply, pattern: Pattern, strict: bool = False
) -> tuple[tuple[str, str], ...] | None:
    """Return the (said, listed) pairs if the reply says the answer in full, else None.

    strict: nothing may be added to the answer, as for a wrong reply or a neighbour's answer.
    """
    spoken = reply.texts.union(reply.challenge, reply.covers)
    if any(reply.runs):
        spoken |= {SOME_NUMBER}
    for sequence, states in zip(pattern.alternatives, pattern.states, strict=True):
        if not states <= spoken:
            continue
        matcher = Matcher(reply, sequence, pattern, strict)
        if matcher.whole():
            return tuple(matcher.matched)
    return None
