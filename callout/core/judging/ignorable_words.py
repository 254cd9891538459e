"""What may be ignored in a reply without changing its answer.

Politeness, echoes of the challenge, emphasis, and what crews add to an answer. A word that excludes
one of the answer's words is never ignored.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from callout.core.judging.adding import addition_length, is_manner, lead_length, state_follows
from callout.core.judging.pattern import Pattern
from callout.core.judging.reply import ParsedReply
from callout.core.language.sequence import Number, Sequence, SequenceWord
from callout.core.language.words import phrase_at
from callout.core.model.expectation import ValueKind

_MOVES = frozenset({"up", "down", "in", "out"})
_LEVERS = frozenset({"forward", "aft", "back"})
"""Sides of the aircraft that are also positions of a lever: both can occur."""
_SPOKEN_TO = frozenset({"confirmed", "verified", "crosschecked"})
"""Status words that form no idiom with "on" or "off"."""
_SIDES = frozenset({"left", "right"})


@dataclass(frozen=True, slots=True)
class Passing:
    """The rules for one order of an answer's elements and one reply."""

    reply: ParsedReply
    sequence: Sequence
    pattern: Pattern
    strict: bool = False
    """True: ignore only words that say nothing; no additions."""
    contrary: frozenset[str] = field(init=False)
    """Words that exclude one of the answer's words."""
    sided: bool = field(init=False)
    states: frozenset[str] = field(init=False)
    moves: bool = field(init=False)

    def __post_init__(self) -> None:
        """Precompute what is asked repeatedly."""
        words, tables = self.pattern.words, self.reply.tables
        own = (group - words for group in self.reply.contrasts if group & words)
        set_once = object.__setattr__
        set_once(self, "contrary", self.pattern.contrary.union(*own))
        sides = tables.sides - _LEVERS
        set_once(self, "sided", bool(words & (tables.quantifiers | sides)))
        set_once(self, "states", tables.opposites.keys() | tables.beside | tables.quantifiers)
        set_once(self, "moves", bool(words & _MOVES))

    def lengths(self, i: int, e: int, said: int) -> Iterator[int]:
        """Yield how many tokens at ``i`` may be ignored before element ``e``."""
        if i >= len(self.reply.tokens):
            return
        if self.reply.tokens[i].text in self.contrary:
            leading = 0 if self.strict else lead_length(self.reply, self.pattern, i)
            if leading:
                yield leading
            return
        add = 0 if self.strict else addition_length(self.reply, self.pattern, self.contrary, i)
        if add:
            yield add
        usual = self._usual(i, e, said)
        if usual and usual != add:
            yield usual
        if self.reply.echoes[i] not in (0, add, usual):
            yield self.reply.echoes[i]

    def _usual(self, i: int, e: int, said: int) -> int:
        if self.reply.skips[i]:
            return self.reply.skips[i]
        if self._stutter(i, e) or self._quantifies(i) or self._strengthens(i, e):
            return 1
        text = self.reply.tokens[i].text
        tables = self.reply.tables
        if text in tables.beside and (said or self._status_leads(i, e)):
            return 1
        if text == "to" and (self._to_a_number(i) or self._leads_to(i, e)):
            return 1
        if text in tables.after_time and self._after_a_time(i, e):
            return 1
        if said and not self.strict and is_manner(self.reply, i):
            return 1
        return (
            self.reply.echoes[i]
            or self._label(i, e)
            or self._thing(i, e)
            or self._both_sides(i)
            or self._one_of_two(i)
            or self._names_challenge(i)
            or state_follows(self.reply, self.pattern, i)
        )

    def _quantifies(self, i: int) -> bool:
        """ "All on" for "on"; "both left and right on"."""
        text = self.reply.tokens[i].text
        if text not in self.reply.tables.quantifiers:
            return False
        if text == "all" and self.pattern.values and self._number_next(i):
            return True
        if self.pattern.numbered_thing:
            return False
        if not self.sided:
            sides = self.reply.texts & (self.reply.tables.sides - _LEVERS)
            return not sides or sides == _SIDES
        said = {e.text for e in self.sequence if isinstance(e, SequenceWord)}
        return text == "both" and "both" not in said and {"left", "right"} <= said

    def _number_next(self, i: int) -> bool:
        """ "All three lights" for "three lights"."""
        return i + 1 < len(self.reply.tokens) and self.reply.tokens[i + 1].piece is not None

    def _both_sides(self, i: int) -> int:
        """ "Set left and right" for "set", unless the challenge names a side."""
        tokens = self.reply.tokens
        if self.sided or self.pattern.numbered_thing or _SIDES & set(self.reply.challenge):
            return 0
        if tokens[i].text not in _SIDES:
            return 0
        at = i + 2 if i + 1 < len(tokens) and tokens[i + 1].text == "and" else i + 1
        both = at < len(tokens) and {tokens[i].text, tokens[at].text} == _SIDES
        return at + 1 - i if both else 0

    def _names_challenge(self, i: int) -> int:
        """Words of the challenge: "minimum four nine zero", "clear on the right"."""
        text, tables = self.reply.tokens[i].text, self.reply.tables
        if text not in self.reply.challenge or text in self.pattern.words:
            return 0
        if text in tables.sides:
            return int(not self.sided and {text} == tables.sides & set(self.reply.challenge))
        apart = tables.negations | _MOVES | {"on", "off"}
        return int(text not in apart and self.reply.tokens[i].piece is None)

    def _one_of_two(self, i: int) -> int:
        """ "The left one": here "one" is not a number."""
        if i == 0 or self.pattern.values or self.reply.tokens[i].text != "one":
            return 0
        return int(self.reply.tokens[i - 1].text in _SIDES | {"this", "that"})

    def _strengthens(self, i: int, e: int) -> bool:
        """ "Full forward" for "forward"."""
        tokens, tables = self.reply.tokens, self.reply.tables
        if tokens[i].text not in tables.intensifiers or e >= len(self.sequence):
            return False
        element = self.sequence[e]
        following = tokens[i + 1].text if i + 1 < len(tokens) else ""
        return (
            isinstance(element, SequenceWord)
            and following == element.text
            and following in tables.intensified
        )

    def _stutter(self, i: int, e: int) -> bool:
        last = self.sequence[e - 1] if e else None
        return isinstance(last, SequenceWord) and last.text == self.reply.tokens[i].text

    def _status_leads(self, i: int, e: int) -> bool:
        """ "Checked, on", "set one zero one three", "set neutral", but never "set up"."""
        tokens = self.reply.tokens
        if tokens[i].text not in self.reply.tables.beside or i + 1 >= len(tokens):
            return False
        following = tokens[i + 1]
        if following.pause or following.text == "and" or following.piece is not None:
            return True
        return self._next_listed(i + 1, e) or following.text in ("to", "at", "in")

    def _next_listed(self, i: int, e: int) -> bool:
        """True for the expected state, if it forms no idiom with a verb ("set off", "set in")."""
        element = self.sequence[e] if e < len(self.sequence) else None
        text = self.reply.tokens[i].text
        if not isinstance(element, SequenceWord) or element.text != text:
            return False
        before = self.reply.tokens[i - 1].text
        return text not in _MOVES | {"on", "off"} or before in _SPOKEN_TO | {"to"}

    def _to_a_number(self, i: int) -> bool:
        """ "Set to five", "altimeter to ten thirteen": here "to" is not a digit."""
        tokens = self.reply.tokens
        if i == 0 or i + 1 >= len(tokens) or tokens[i + 1].piece is None:
            return False
        before = tokens[i - 1].text
        return before in self.reply.tables.beside or before == "selected"

    def _leads_to(self, i: int, e: int) -> bool:
        """ "Set to left", "switched to run"."""
        return i + 1 < len(self.reply.tokens) and self._next_listed(i + 1, e)

    def _after_a_time(self, i: int, e: int) -> bool:
        last = self.sequence[e - 1] if e else None
        return isinstance(last, Number) and last.value.kind is ValueKind.TIME and i > 0

    def _label(self, i: int, e: int) -> int:
        """The name of a quantity before a number of its kind; never a name other than the listed
        one.
        """
        tables = self.reply.tables
        numbers = [x.value for x in self.sequence[e:] if isinstance(x, Number)]
        found = phrase_at(self.reply.tokens, i, tables.labels)
        if not found or len(numbers) != 1:
            return 0
        label, value = tables.label_kinds[found[1][0]], numbers[0]
        if self.pattern.label is not None:
            return found[0] if label.name == self.pattern.label else 0
        if label.specific:
            return 0
        fits = value.kind in label.kinds and value.kind is not ValueKind.NUMBER
        unnamed = value.kind is ValueKind.NUMBER and not self.reply.challenge
        return found[0] if fits or (unnamed and len(self.sequence) == 1) else 0

    def _thing(self, i: int, e: int) -> int:
        """A part of the aircraft named before the state, if the challenge is unknown."""
        tables = self.reply.tables
        if self.reply.challenge or e >= len(self.sequence) or (e and not self.pattern.just_state):
            return 0
        element = self.sequence[e]
        if isinstance(element, Number) or element.text not in self.states:
            return 0
        if e and element.text in tables.sides:
            return 0
        found = phrase_at(self.reply.tokens, i, tables.things)
        if found is None and not self.moves:
            found = phrase_at(self.reply.tokens, i, tables.switched)
        return found[0] if found else 0
