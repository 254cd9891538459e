"""Small boolean expressions over named set-up facts: "night and not turnaround".

Three-valued (Kleene): a fact nobody has stated makes the answer unknown where it matters.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

MAX_LENGTH = 200

_WORDS_AND_BRACKETS = re.compile(r"(?:[a-z_][a-z0-9_]*+|[()]|\s)++")


class ConditionInvalid(ValueError):
    """A condition that cannot be read; the text says why."""


@dataclass(frozen=True, slots=True)
class Fact:
    """True when the named fact is true."""

    name: str


@dataclass(frozen=True, slots=True)
class Not:
    """The opposite of ``part``."""

    part: Term


@dataclass(frozen=True, slots=True)
class All:
    """Every part (``and``)."""

    parts: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Some:
    """At least one part (``or``)."""

    parts: tuple[Term, ...]


Term = Fact | Not | All | Some


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition as written and as understood."""

    text: str
    term: Term

    @property
    def facts(self) -> tuple[str, ...]:
        """Names of the facts it asks about, in order of first mention."""
        return tuple(dict.fromkeys(_fact_names(self.term)))


class _HasFacts(Protocol):
    @property
    def facts(self) -> Mapping[str, bool | None]: ...


def parse_condition(text: str) -> Condition:
    """Return ``text`` as a condition; raise ConditionInvalid with one sentence."""
    if len(text) > MAX_LENGTH:
        raise ConditionInvalid(f"a condition may be at most {MAX_LENGTH} characters long")
    plain = " ".join(text.casefold().split())
    if not _WORDS_AND_BRACKETS.fullmatch(plain):
        raise ConditionInvalid(f'"{text}" is not names joined by "and", "or" and "not"')
    try:
        tree = ast.parse(plain, mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise ConditionInvalid(f'"{text}" is not names joined by "and", "or" and "not"') from error
    return Condition(plain, _parse_term(tree.body))


def both_conditions(one: Condition | None, other: Condition | None) -> Condition | None:
    """Return the condition that holds when both do."""
    if one is None or other is None:
        return one or other
    return Condition(f"({one.text}) and ({other.text})", All((one.term, other.term)))


def condition_applies(condition: Condition | None, flight: _HasFacts) -> bool | None:
    """Say whether ``condition`` holds for the flight's facts; None when a fact is unknown.

    No condition always holds.
    """
    return True if condition is None else _term_truth(condition.term, flight.facts)


def _parse_term(node: ast.expr) -> Term:
    match node:
        case ast.Name(id=name):
            return Fact(name)
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            return Not(_parse_term(operand))
        case ast.BoolOp(op=ast.And(), values=values):
            return All(tuple(_parse_term(value) for value in values))
        case ast.BoolOp(op=ast.Or(), values=values):
            return Some(tuple(_parse_term(value) for value in values))
    raise ConditionInvalid(f'"{ast.unparse(node)}" is not a fact, "not", "and" or "or"')


def _fact_names(term: Term) -> list[str]:
    if isinstance(term, Fact):
        return [term.name]
    if isinstance(term, Not):
        return _fact_names(term.part)
    return [name for part in term.parts for name in _fact_names(part)]


def _term_truth(term: Term, facts: Mapping[str, bool | None]) -> bool | None:
    if isinstance(term, Fact):
        return facts.get(term.name)
    if isinstance(term, Not):
        inner = _term_truth(term.part, facts)
        return None if inner is None else not inner
    truths = [_term_truth(part, facts) for part in term.parts]
    decisive = isinstance(term, Some)
    if decisive in truths:
        return decisive
    return None if None in truths else not decisive
