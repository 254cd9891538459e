"""What an answer requires, as alternative sequences of words and numbers."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import dataclass, replace
from functools import lru_cache

from callout.core.judging.orders import word_orders
from callout.core.language.numbers import read_number
from callout.core.language.sequence import Element, Number, Sequence, SequenceWord
from callout.core.language.tables import PieceKind, Tables
from callout.core.language.words import Token, normalise_text, phrase_at
from callout.core.model.expectation import Answer, Value

SOME_NUMBER = "#"
"""Placeholder among required words for "a number must be said"."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """All orders of words and numbers that say one answer in full."""

    answer: Answer
    alternatives: tuple[Sequence, ...]
    states: tuple[frozenset[str], ...]
    """For each alternative, the state words that must be said: a quick check rules it out."""
    words: frozenset[str]
    """Every word of the answer as listed."""
    values: tuple[Value, ...]
    contrary: frozenset[str]
    """Words that exclude one of the answer's words."""
    label: str | None
    """Name of the quantity that the list gives before its only number."""
    numbered_thing: bool
    """True when a number is part of a name ("engine 1 on")."""
    just_state: bool
    """True when the answer names only states and no thing ("on", "down, 3 green")."""

    @property
    def listed(self) -> Sequence:
        """The answer in its listed order."""
        return self.alternatives[0]


@lru_cache(maxsize=8192)
def compile_answer(answer: Answer, tables: Tables) -> Pattern:
    """Return the pattern of ``answer``; cached, since the same lists are used again and again."""
    elements, label = _optional_words(_answer_elements(answer, tables), tables)
    states = tables.opposites.keys() | tables.beside | tables.quantifiers | tables.intensifiers
    said = frozenset(e.text for e in elements if isinstance(e, SequenceWord))
    alternatives = tuple(dict.fromkeys(word_orders(elements, tables)))
    return Pattern(
        answer,
        alternatives,
        tuple(_state_words(sequence, tables) for sequence in alternatives),
        said,
        tuple(e.value for e in elements if isinstance(e, Number)),
        frozenset(o for w in said for o in tables.opposites.get(w, ())) - said,
        label,
        label is None and _numbers_a_thing(elements, states),
        {SequenceWord} <= {type(e) for e in elements}
        and all(e.text in states for e in elements if isinstance(e, SequenceWord)),
    )


def _state_words(sequence: Sequence, tables: Tables) -> frozenset[str]:
    must = [e for e in sequence if not e.optional]
    said = {e.text for e in must if isinstance(e, SequenceWord) and e.text in tables.opposites}
    if any(isinstance(e, Number) for e in must):
        said.add(SOME_NUMBER)
    return frozenset(said)


def _numbers_a_thing(elements: Sequence, states: Set[str]) -> bool:
    for i, element in enumerate(elements):
        if isinstance(element, Number):
            following = elements[i + 1] if i + 1 < len(elements) else None
            if i or (isinstance(following, SequenceWord) and following.text not in states):
                return True
    return False


def _answer_elements(answer: Answer, tables: Tables) -> Sequence:
    everything = tuple(_element_parts(answer, tables, frozenset()))
    kept = tuple(_element_parts(answer, tables, tables.articles))
    said = (e for e in kept if isinstance(e, Number) or e.text not in tables.negations)
    return kept if any(said) else everything


def _element_parts(answer: Answer, tables: Tables, skip: frozenset[str]) -> Iterator[Element]:
    joint = False
    for part in answer.parts:
        if isinstance(part, Value):
            yield Number(part, joint=joint)
            joint = False
            continue
        for element in _of_words(normalise_text(part.text, tables).tokens, skip):
            yield replace(element, joint=element.joint or joint)
            joint = False
        joint = joint or part.text.rstrip().endswith((",", ";", " and", "&"))


def _of_words(tokens: tuple[Token, ...], skip: frozenset[str]) -> Iterator[Element]:
    joint = False
    i = 0
    while i < len(tokens):
        token = tokens[i]
        joint = joint or token.pause or token.text == "and"
        end = _number_end(tokens, i)
        reading = read_number(tuple(t.piece for t in tokens[i:end] if t.piece)) if end > i else None
        if reading is not None:
            zeros = len(reading.whole) > 1 and reading.whole.startswith("0")
            digits = len(reading.whole) if zeros else None
            yield Number(Value(reading.value, digits=digits), joint=joint)
            i, joint = end, False
            continue
        if token.text not in skip:
            yield SequenceWord(token.text, joint=joint)
            joint = False
        i += 1


def _number_end(tokens: tuple[Token, ...], i: int) -> int:
    end = i
    while end < len(tokens):
        piece = tokens[end].piece
        if piece is None or piece.soft or (end > i and tokens[end].pause):
            break
        end += 1
    signs = (PieceKind.MINUS, PieceKind.PLUS)
    return i if all(t.piece and t.piece.kind in signs for t in tokens[i:end]) else end


def _optional_words(elements: Sequence, tables: Tables) -> tuple[Sequence, str | None]:
    """The name of the only number, and "set" beside a number, may be omitted."""
    elements = tuple(_all_of_them(elements))
    numbers = [i for i, e in enumerate(elements) if isinstance(e, Number)]
    if len(numbers) != 1:
        return elements, None
    at = numbers[0]
    length, label = _label_before(elements, at, tables)
    value = (at == 0 or label is not None) and all(
        _stands_beside(e, tables) for e in elements[at + 1 :] if isinstance(e, SequenceWord)
    )
    out = tuple(
        replace(e, optional=True)
        if i < length or (value and i > at and _stands_beside(e, tables))
        else e
        for i, e in enumerate(elements)
    )
    return out, label


def _all_of_them(elements: Sequence) -> Iterator[Element]:
    """ "Three in" is "all three in"."""
    for element, following in zip(elements, (*elements[1:], None), strict=True):
        counted = isinstance(following, Number) and element == SequenceWord(
            "all", joint=element.joint
        )
        yield replace(element, optional=True) if counted else element


def _stands_beside(element: Element, tables: Tables) -> bool:
    """ "Set" after its value; in "engine 1 set" the number is part of a name."""
    return isinstance(element, SequenceWord) and (
        element.text in tables.beside or element.text in tables.after_time
    )


def _label_before(elements: Sequence, at: int, tables: Tables) -> tuple[int, str | None]:
    """Return how many leading words name the quantity of the number at ``at``, and the name."""
    tokens = tuple(Token(e.text) for e in elements[:at] if isinstance(e, SequenceWord))
    found = phrase_at(tokens, 0, tables.labels) if tokens else None
    if found is None or found[0] != at:
        return 0, None
    return at, found[1][0]
