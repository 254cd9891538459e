"""Matches a whole reply against an answer: every word must be accounted for.

Nothing is matched by likeness of the whole. A reply fits only if each of its words is a word or
number of the answer, an echo of the challenge, or on a short list of words that say nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.expectation import Value, ValueKind
from callout.core.judging import values
from callout.core.judging.likeness import word_length
from callout.core.judging.pattern import SOME_NUMBER, Pattern
from callout.core.judging.reply import Reply, echo_allowed
from callout.core.judging.runs import Run
from callout.core.judging.sequence import Element, Number, Sequence, Word
from callout.core.judging.words import phrase_at

_MOVES = frozenset({"up", "down", "in", "out"})
_MOST_STEPS = 4000


class Matcher:
    """Tries one sequence of elements against one prepared reply."""

    def __init__(self, reply: Reply, sequence: Sequence, pattern: Pattern) -> None:
        self.reply = reply
        self.tokens = reply.tokens
        self.tables = reply.tables
        self.sequence = sequence
        self.pattern = pattern
        self.sided = bool(pattern.words & (self.tables.quantifiers | self.tables.sides))
        self.states = self.tables.opposites.keys() | self.tables.beside | self.tables.quantifiers
        own = (group - pattern.words for group in reply.contrasts if group & pattern.words)
        self.contrary = pattern.contrary.union(*own)
        self.moves = bool(pattern.words & _MOVES)
        self.unsaid = _unsaid(sequence, reply)
        self.matched: list[tuple[str, str]] = []
        self._budget = _MOST_STEPS

    def whole(self) -> bool:
        """True when the reply says the sequence in full and nothing else."""
        return self._from(0, 0, 0)

    def _from(self, i: int, e: int, said: int) -> bool:
        self._budget -= 1
        if self._budget < 0:
            return False
        if e == len(self.sequence):
            return bool(said) and self._tail(i)
        element = self.sequence[e]
        for end, note in self._ends(i, element):
            self.matched.append(note)
            if self._from(end, e + 1, said + 1):
                return True
            self.matched.pop()
        if self._two_in_one(i, e) and self._from(i + 1, e + 2, said + 2):
            return True
        if (element.optional or e < self.unsaid) and self._from(i, e + 1, said):
            return True
        passed = self._pass(i, e, said)
        return bool(passed) and self._from(i + passed, e, said)

    def _ends(self, i: int, element: Element) -> Iterator[tuple[int, tuple[str, str]]]:
        if i >= len(self.tokens):
            return
        if isinstance(element, Word):
            taken = word_length(self.tokens, i, element.text, self.reply)
            if taken:
                said = " ".join(t.text for t in self.tokens[i : i + taken])
                yield i + taken, (said, element.text)
            return
        for run in self.reply.runs[i]:
            fit = values.fit(element.value, run.reading, run.unit, self.tables)
            if fit is values.Fit.SAME and self._unit_fits(element.value, run):
                said = " ".join(t.text for t in self.tokens[i : run.after])
                yield run.after, (said, str(element.value.number))

    def _unit_fits(self, value: Value, run: Run) -> bool:
        """Of several numbers without units in the list, none is said with a unit of its own."""
        several = len(self.pattern.values) > 1 and value.unit is None
        return not several or run.unit in (None, *values.PLAIN_UNITS)

    def _two_in_one(self, i: int, e: int) -> bool:
        """ "Crossfeed" said as listed in two words, or the other way round."""
        if i >= len(self.tokens) or e + 1 >= len(self.sequence):
            return False
        a, b = self.sequence[e], self.sequence[e + 1]
        return (
            isinstance(a, Word) and isinstance(b, Word) and self.tokens[i].text == a.text + b.text
        )

    def _pass(self, i: int, e: int, said: int) -> int:
        """Return how many tokens at ``i`` may be passed over before element ``e``."""
        if i >= len(self.tokens) or self.tokens[i].text in self.contrary:
            return 0
        if self.reply.skips[i]:
            return self.reply.skips[i]
        if self._stutter(i, e) or self._quantifies(i) or self._strengthens(i, e):
            return 1
        text = self.tokens[i].text
        if text in self.tables.beside and (said or self._status_leads(i)):
            return 1
        if text == "to" and self._to_a_number(i):
            return 1
        if text in self.tables.after_time and self._after_a_time(i, e):
            return 1
        return self.reply.echoes[i] or self._label(i, e) or self._thing(i, e)

    def _quantifies(self, i: int) -> bool:
        """ "All on" for "on"; "both left and right on"."""
        text = self.tokens[i].text
        if text not in self.tables.quantifiers:
            return False
        if self.pattern.numbered_thing:
            return False
        if not self.sided:
            return not self.reply.texts & self.tables.sides
        said = {e.text for e in self.sequence if isinstance(e, Word)}
        return text == "both" and "both" not in said and {"left", "right"} <= said

    def _strengthens(self, i: int, e: int) -> bool:
        """ "Full forward" for "forward"."""
        if self.tokens[i].text not in self.tables.intensifiers or e >= len(self.sequence):
            return False
        element = self.sequence[e]
        following = self.tokens[i + 1].text if i + 1 < len(self.tokens) else ""
        return (
            isinstance(element, Word)
            and following == element.text
            and following in self.tables.intensified
        )

    def _stutter(self, i: int, e: int) -> bool:
        last = self.sequence[e - 1] if e else None
        return isinstance(last, Word) and last.text == self.tokens[i].text

    def _status_leads(self, i: int) -> bool:
        """ "Checked, on", "set one zero one three" - but never "set up"."""
        if self.tokens[i].text not in self.tables.beside or i + 1 >= len(self.tokens):
            return False
        following = self.tokens[i + 1]
        return following.pause or following.text == "and" or following.piece is not None

    def _to_a_number(self, i: int) -> bool:
        """ "Set to five", "altimeter to ten thirteen": here "to" is no digit."""
        if i == 0 or i + 1 >= len(self.tokens) or self.tokens[i + 1].piece is None:
            return False
        before = self.tokens[i - 1].text
        return before in self.tables.beside or before == "selected"

    def _after_a_time(self, i: int, e: int) -> bool:
        last = self.sequence[e - 1] if e else None
        return isinstance(last, Number) and last.value.kind is ValueKind.TIME and i > 0

    def _label(self, i: int, e: int) -> int:
        """The name of a quantity before a number of its kind; never another than the listed one."""
        numbers = [x.value for x in self.sequence[e:] if isinstance(x, Number)]
        found = phrase_at(self.tokens, i, self.tables.labels)
        if not found or len(numbers) != 1:
            return 0
        label, value = self.tables.label_kinds[found[1][0]], numbers[0]
        if self.pattern.label is not None:
            return found[0] if label.name == self.pattern.label else 0
        if label.specific:
            return 0
        fits = value.kind in label.kinds and value.kind is not ValueKind.NUMBER
        unnamed = value.kind is ValueKind.NUMBER and not self.reply.challenge
        return found[0] if fits or (unnamed and len(self.sequence) == 1) else 0

    def _thing(self, i: int, e: int) -> int:
        """A part of the aircraft named before the state, when the challenge is not known."""
        if self.reply.challenge or e >= len(self.sequence) or (e and not self.pattern.just_state):
            return 0
        element = self.sequence[e]
        if isinstance(element, Number) or element.text not in self.states:
            return 0
        if e and element.text in self.tables.sides:
            return 0
        found = phrase_at(self.tokens, i, self.tables.things)
        if found is None and not self.moves:
            found = phrase_at(self.tokens, i, self.tables.switched)
        return found[0] if found else 0

    def _tail(self, i: int) -> bool:
        """True when nothing but harmless words, or the answer again, follows."""
        if i >= len(self.tokens):
            return True
        if self._repeats(i):
            return True
        passed = self._pass(i, len(self.sequence), 1)
        cut_off = i + passed == len(self.tokens) and self.tokens[-1].text in self.tables.dangling
        return bool(passed) and not cut_off and self._tail(i + passed)

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


def _unsaid(sequence: Sequence, reply: Reply) -> int:
    """Return how many leading words the challenge has said already ("landing lights" on)."""
    length = 0
    at = 0
    for element in sequence[:-1]:
        if not isinstance(element, Word) or element.text not in reply.challenge[at:]:
            break
        at = reply.challenge.index(element.text, at) + 1
        length += 1
    run = tuple(e.text for e in sequence[:length] if isinstance(e, Word))
    return length if length and echo_allowed(run, reply.challenge, reply.tables) else 0


def match(reply: Reply, pattern: Pattern) -> tuple[tuple[str, str], ...] | None:
    """Return the (said, listed) pairs if the reply says the answer in full, else None."""
    spoken = reply.texts.union(reply.challenge)
    if any(reply.runs):
        spoken |= {SOME_NUMBER}
    for sequence, states in zip(pattern.alternatives, pattern.states, strict=True):
        if not states <= spoken:
            continue
        matcher = Matcher(reply, sequence, pattern)
        if matcher.whole():
            return tuple(matcher.matched)
    return None
