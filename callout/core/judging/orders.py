"""Other word orders and wordings that say exactly what the list says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import permutations

from callout.core.language.sequence import Element, Number, Sequence, SequenceWord
from callout.core.language.tables import Tables
from callout.core.model.expectation import Value, ValueKind

_LEFT, _RIGHT, _BOTH = SequenceWord("left"), SequenceWord("right"), SequenceWord("both")
_ONE, _TWO = Number(Value(Decimal(1))), Number(Value(Decimal(2)))
_SIDES = (_LEFT, _RIGHT)
_MOST_CLAUSES = 3
_SURELY_A_VALUE = 100
"""A number this large is not a member of a row ("pump 2")."""


def word_orders(elements: Sequence, tables: Tables) -> Iterator[Sequence]:
    """Yield the sequence as listed, then every other order with the same meaning."""
    yield elements
    plain = tuple(_plain_element(e) for e in elements)
    yield from _both_orders(plain)
    yield from _sided_orders(plain)
    yield from _of_each(plain, tables)
    yield from _clause_orders(elements, tables)
    yield from _turned_orders(plain)
    yield from _all_last(plain)
    if (
        len(plain) > 1
        and isinstance(plain[0], SequenceWord)
        and plain[0].text in tables.before_noun
    ):
        yield (*plain[1:], plain[0])
    last = plain[-1] if plain else None
    if len(plain) > 1 and isinstance(last, SequenceWord) and last.text in tables.before_noun:
        yield (last, *plain[:-1])


def _plain_element(element: Element) -> Element:
    return replace(element, joint=False)


def _all_last(plain: Sequence) -> Iterator[Sequence]:
    """ "In, all three" is "all three in"."""
    if len(plain) > 1 and isinstance(plain[0], SequenceWord) and plain[0].text == "all":
        head = 2 if isinstance(plain[1], Number) and len(plain) > 2 else 1
        yield (*plain[head:], *plain[:head])


def _turned_orders(plain: Sequence) -> Iterator[Sequence]:
    """ "Nose up 4.5" is "4.5 nose up", "open slightly" is "slightly open"."""
    first = plain[0] if plain else None
    rest = plain[1:]
    if isinstance(first, Number) and first.value.kind is not ValueKind.RUNWAY and rest:
        if all(isinstance(e, SequenceWord) for e in rest):
            yield (*rest, first)
    elif isinstance(first, SequenceWord) and first.text.endswith("ly") and len(rest) == 1:
        yield (*rest, first)


def _both_orders(plain: Sequence) -> Iterator[Sequence]:
    """ "Both on", "left and right on", "left on, right on" and "one and two on" mean the same."""
    members: tuple[tuple[Element, Element], ...]
    if plain.count(_BOTH) == 1:
        rest = tuple(e for e in plain if e != _BOTH)
        members = (_SIDES, (_ONE, _TWO))
    else:
        found = _said_of_pair(plain, *_SIDES) or _said_of_pair(plain, _ONE, _TWO)
        if found is None:
            return
        rest, pair = found
        members = (pair,)
    yield (_BOTH, *rest)
    yield (*rest, _BOTH) if rest else (SequenceWord("on"), _BOTH)
    for a, b in members:
        for first, second in ((a, b), (b, a)):
            yield (first, second, *rest)
            yield (*rest, first, second)
            yield (first, *rest, second, *rest)
            yield (*rest, first, *rest, second)


def _of_each(plain: Sequence, tables: Tables) -> Iterator[Sequence]:
    """ "Left closed, right closed" for "closed"."""
    apart = tables.sides | tables.quantifiers | tables.negations
    if all(isinstance(e, SequenceWord) and e.text not in apart for e in plain):
        yield (_LEFT, *plain, _RIGHT, *plain)
        yield (_RIGHT, *plain, _LEFT, *plain)


def _said_of_pair(
    plain: Sequence, first: Element, second: Element
) -> tuple[Sequence, tuple[Element, Element]] | None:
    """Return what is said of both members, if the answer says the same of each."""
    if plain.count(first) != 1 or plain.count(second) != 1:
        return None
    a, b = plain.index(first), plain.index(second)
    if a > b:
        return None
    before, between, after = plain[:a], plain[a + 1 : b], plain[b + 1 :]
    if not between and not (before and after):
        return before + after, (first, second)
    if between and not before and between == after:
        return after, (first, second)
    return None


def _sided_orders(plain: Sequence) -> Iterator[Sequence]:
    """ "12 left, 14 right" also as "left 12, right 14" and "14 right, 12 left"."""
    if sum(e in _SIDES for e in plain) != 2 or len(plain) % 2 or len(plain) < 4:
        return
    half = len(plain) // 2
    one, two = plain[:half], plain[half:]
    for side, rest in ((0, slice(1, None)), (-1, slice(0, -1))):
        a, b = one[side], two[side]
        if a in _SIDES and b in _SIDES:
            for (x, p), (y, q) in permutations(((a, one[rest]), (b, two[rest]))):
                yield (x, *p, y, *q)
                yield (*p, x, *q, y)


def _clause_orders(elements: Sequence, tables: Tables) -> Iterator[Sequence]:
    """ "Down and locked" is "locked and down": whole clauses in any order."""
    clauses: list[Sequence] = []
    for element in elements:
        if element.joint or not clauses:
            clauses.append((_plain_element(element),))
        else:
            clauses[-1] = (*clauses[-1], _plain_element(element))
    if not 1 < len(clauses) <= _MOST_CLAUSES or not all(_stands_alone(c, tables) for c in clauses):
        return
    for order in permutations(clauses):
        yield tuple(e for clause in order for e in clause)


def _stands_alone(clause: Sequence, tables: Tables) -> bool:
    """True when a clause makes sense alone: it has more than sides and numbers."""
    dependent = tables.sides | tables.quantifiers | tables.negations
    if len(clause) == 1 and isinstance(clause[0], Number):
        return abs(clause[0].value.number) >= _SURELY_A_VALUE
    return any(isinstance(e, SequenceWord) and e.text not in dependent for e in clause)
