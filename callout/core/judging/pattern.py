"""What an answer asks to be said, as alternatives of words and numbers in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from callout.core.expectation import Answer, Value, ValueKind
from callout.core.judging.numbers import read
from callout.core.judging.tables import PieceKind, Tables
from callout.core.judging.words import Token, normalise, phrase_at


@dataclass(frozen=True, slots=True)
class Word:
    """One word that must be said."""

    text: str
    optional: bool = False
    joint: bool = False
    """True where "and" or a comma stands before it in the list."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number that must be said."""

    value: Value
    joint: bool = False
    optional: bool = False


Element = Word | Number
Sequence = tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """All orders of words and numbers that say one answer in full."""

    answer: Answer
    alternatives: tuple[Sequence, ...]
    words: frozenset[str]
    """Every word of the answer as listed."""
    values: tuple[Value, ...]

    @property
    def listed(self) -> Sequence:
        """The answer in the order it is listed."""
        return self.alternatives[0]


@lru_cache(maxsize=8192)
def compile_answer(answer: Answer, tables: Tables) -> Pattern:
    """Return the pattern of ``answer``; remembered, as lists are asked again and again."""
    elements = _optional_words(tuple(_elements(answer, tables)), tables)
    alternatives = tuple(dict.fromkeys(_alternatives(elements)))
    spoken = frozenset(e.text for e in elements if isinstance(e, Word))
    values = tuple(e.value for e in elements if isinstance(e, Number))
    return Pattern(answer, alternatives, spoken, values)


def _elements(answer: Answer, tables: Tables) -> Iterable[Element]:
    made: list[Element] = []
    for part in answer.parts:
        if isinstance(part, Value):
            made.append(Number(part, joint=bool(made)))
        else:
            made.extend(_of_words(normalise(part.text, tables).tokens, tables, bool(made)))
    return made


def _of_words(tokens: tuple[Token, ...], tables: Tables, begun: bool) -> Iterable[Element]:
    kept = _without_skips(tokens, tables)
    joint = False
    i = 0
    while i < len(tokens):
        token = tokens[i]
        joint = joint or token.pause or token.text == "and"
        end = _number_end(tokens, i)
        reading = read(tuple(t.piece for t in tokens[i:end] if t.piece)) if end > i else None
        if reading is not None:
            zeros = len(reading.whole) > 1 and reading.whole.startswith("0")
            digits = len(reading.whole) if zeros else None
            yield Number(Value(Decimal(reading.value), digits=digits), joint)
            i, joint = end, False
        elif token in kept:
            yield Word(token.text, joint=joint)
            i, joint = i + 1, False
        else:
            i += 1


def _without_skips(tokens: tuple[Token, ...], tables: Tables) -> tuple[Token, ...]:
    """Leave out grammar words unless the answer is nothing else ("yes")."""
    kept = tuple(t for t in tokens if t.text not in tables.skip_words)
    return kept or tokens


def _number_end(tokens: tuple[Token, ...], i: int) -> int:
    end = i
    while end < len(tokens):
        piece = tokens[end].piece
        if piece is None or piece.soft or (end > i and tokens[end].pause):
            break
        end += 1
    if all(t.piece and t.piece.kind in (PieceKind.MINUS, PieceKind.PLUS) for t in tokens[i:end]):
        return i
    return end


def _optional_words(elements: Sequence, tables: Tables) -> Sequence:
    """The name of the only number, and "set" beside a number, need not be said."""
    numbers = [i for i, e in enumerate(elements) if isinstance(e, Number)]
    if len(numbers) != 1:
        return elements
    at = numbers[0]
    out = list(elements)
    label = _label_before(elements, at, tables)
    for i in range(at - label, at):
        out[i] = _made_optional(out[i])
    for i in range(at + 1, len(out)):
        element = out[i]
        if isinstance(element, Word) and (element.text in tables.beside or element.text == "zulu"):
            out[i] = _made_optional(element)
    return tuple(out)


def _label_before(elements: Sequence, at: int, tables: Tables) -> int:
    """Return how many words right before the number are its quantity's name."""
    tokens = tuple(Token(e.text) for e in elements[:at] if isinstance(e, Word))
    for length in range(min(4, len(tokens)), 0, -1):
        found = phrase_at(tokens, len(tokens) - length, tables.labels)
        if found and found[0] == length:
            return length if length == at else 0
    return 0


def _made_optional(element: Element) -> Element:
    return Word(element.text, True, element.joint) if isinstance(element, Word) else element


def _alternatives(elements: Sequence) -> Iterable[Sequence]:
    yield elements
    yield from _both(elements)
    yield from _sided(elements)
    yield from _joined(elements)


_LEFT, _RIGHT, _BOTH = Word("left"), Word("right"), Word("both")


def _is(element: Element, word: Word) -> bool:
    return isinstance(element, Word) and element.text == word.text


def _is_number(element: Element, number: int) -> bool:
    return isinstance(element, Number) and element.value == Value(Decimal(number))


def _both(elements: Sequence) -> Iterable[Sequence]:
    """ "Both on", "left and right on", "left on, right on" and "one and two on" say the same."""
    members: tuple[tuple[Element, Element], ...]
    one, two = Number(Value(Decimal(1))), Number(Value(Decimal(2)))
    if any(_is(e, _BOTH) for e in elements):
        rest = tuple(e for e in elements if not _is(e, _BOTH))
        members = ((_LEFT, _RIGHT), (one, two))
    else:
        found = _pair(elements, _LEFT, _RIGHT) or _pair(elements, one, two)
        if found is None:
            return
        rest, pair = found
        members = (pair,)
    rest = tuple(e if not isinstance(e, Word) else Word(e.text, e.optional) for e in rest)
    yield (_BOTH, *rest)
    yield (*rest, _BOTH)
    for first, second in members:
        yield (first, second, *rest)
        yield (*rest, first, second)
        if rest:
            for a, b in ((first, second), (second, first)):
                yield (a, *rest, b, *rest)
                yield (*rest, a, *rest, b)


def _pair(
    elements: Sequence, first: Element, second: Element
) -> tuple[Sequence, tuple[Element, Element]] | None:
    """Return what is said of both members, if the answer says the same of each."""

    def at(member: Element) -> list[int]:
        return [i for i, e in enumerate(elements) if _plain(e) == member]

    a, b = at(first), at(second)
    if len(a) != 1 or len(b) != 1 or a[0] > b[0]:
        return None
    before, between, after = elements[: a[0]], elements[a[0] + 1 : b[0]], elements[b[0] + 1 :]
    same = tuple(map(_plain, between)) == tuple(map(_plain, after))
    if not between and not (before and after):
        return before + after, (first, second)
    if between and not before and same:
        return after, (first, second)
    return None


def _plain(element: Element) -> Element:
    return Word(element.text) if isinstance(element, Word) else Number(element.value)


def _sided(elements: Sequence) -> Iterable[Sequence]:
    """ "12 left, 14 right" is "left 12, right 14" and "14 right, 12 left" too."""
    plain = tuple(_plain(e) for e in elements)
    sides = [i for i, e in enumerate(plain) if e in (_LEFT, _RIGHT)]
    if len(sides) != 2 or len(plain) % 2 or len(plain) < 4:
        return
    half = len(plain) // 2
    first, second = plain[:half], plain[half:]
    for edge, inside in ((0, slice(1, None)), (-1, slice(0, -1))):
        if first[edge] in (_LEFT, _RIGHT) and second[edge] in (_LEFT, _RIGHT):
            one, two = first[inside], second[inside]
            a, b = first[edge], second[edge]
            yield (a, *one, b, *two)
            yield (*one, a, *two, b)
            yield (b, *two, a, *one)
            yield (*two, b, *one, a)


def _joined(elements: Sequence) -> Iterable[Sequence]:
    """ "Down and locked" is "locked and down": single words joined by "and" in any order."""
    singles = all(isinstance(e, Word) and (e.joint or i == 0) for i, e in enumerate(elements))
    if singles and len(elements) == 2:
        yield tuple(_plain(e) for e in reversed(elements))


def takes_leading_zero(value: Value) -> bool:
    """True where the list itself writes leading zeros."""
    return value.digits is not None or value.kind is ValueKind.HEADING
