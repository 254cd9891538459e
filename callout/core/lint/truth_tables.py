"""Conditions solved exactly: every set-up at once, as one number of 2**n bits.

Bit k of a table says whether the condition holds in set-up k; ``and``, ``or`` and ``not`` are
then whole-number operations, so sixteen facts (65,536 set-ups) take microseconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from callout.core.model.conditions import All, Condition, Fact, Not, Some, Term

MOST_FACTS = 16


class TooManyFacts(ValueError):
    """Too many facts to check every combination; nobody could set up a list by them either."""


@dataclass(frozen=True, slots=True)
class Truths:
    """Every set-up of some facts."""

    facts: tuple[str, ...]

    @classmethod
    def over(cls, conditions: Iterable[Condition | None]) -> Truths:
        """Return all set-ups of the facts these conditions ask about; raise TooManyFacts."""
        names = dict.fromkeys(name for c in conditions if c is not None for name in c.facts)
        if len(names) > MOST_FACTS:
            raise TooManyFacts(f"{len(names)} facts")
        return cls(tuple(names))

    @property
    def every(self) -> int:
        """The table of a condition that always holds."""
        return (1 << (1 << len(self.facts))) - 1

    def table(self, condition: Condition | None) -> int:
        """Return the set-ups in which ``condition`` holds; None always holds."""
        return self.every if condition is None else self._table(condition.term)

    def together(self, conditions: Sequence[Condition | None]) -> int:
        """Return the set-ups in which all of them hold."""
        held = self.every
        for condition in conditions:
            held &= self.table(condition)
        return held

    def _table(self, term: Term) -> int:
        match term:
            case Fact(name):
                block = 1 << self.facts.index(name)
                return self.every // ((1 << block) + 1) << block
            case Not(part):
                return self.every ^ self._table(part)
            case All(parts):
                held = self.every
                for part in parts:
                    held &= self._table(part)
                return held
            case Some(parts):
                held = 0
                for part in parts:
                    held |= self._table(part)
                return held


def is_possible(*conditions: Condition | None) -> bool:
    """Say whether some set-up fulfils all the conditions; raise TooManyFacts."""
    return Truths.over(conditions).together(conditions) != 0


def is_always(condition: Condition) -> bool:
    """Say whether ``condition`` holds in every set-up; raise TooManyFacts."""
    truths = Truths.over([condition])
    return truths.table(condition) == truths.every


def one_implies(one: Condition | None, other: Condition | None) -> bool:
    """Say whether ``other`` holds wherever ``one`` does; raise TooManyFacts."""
    truths = Truths.over([one, other])
    return truths.table(one) & ~truths.table(other) & truths.every == 0
