"""Matches a whole reply against an answer: every word must be accounted for.

Nothing is matched by likeness of the whole. A reply fits only if each of its words is a word or
number of the answer, an echo of the challenge, or on a short list of words that say nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from rapidfuzz.distance import OSA

from callout.core.expectation import Value, ValueKind
from callout.core.judging import values
from callout.core.judging.numbers import Reading, read
from callout.core.judging.pattern import SOME_NUMBER, Pattern
from callout.core.judging.sequence import Element, Number, Sequence, Word
from callout.core.judging.tables import Piece, PieceKind, Tables
from callout.core.judging.words import Token, phrase_at

_MOVES = frozenset({"up", "down", "in", "out"})
_SCALES = (PieceKind.HUNDRED, PieceKind.THOUSAND)
_LONGEST_NUMBER = 14


@dataclass(frozen=True, slots=True)
class Run:
    """A number found in a reply: tokens ``start`` to ``end``."""

    start: int
    end: int
    reading: Reading
    unit: str | None
    after: int
    """Index of the first token after number and unit."""


@dataclass(frozen=True, slots=True)
class Reply:
    """A reply made ready for matching."""

    tokens: tuple[Token, ...]
    skips: tuple[int, ...]
    """For each token, how many tokens may be passed over there (0: none)."""
    echoes: tuple[int, ...]
    """For each token, how many tokens echo the challenge."""
    texts: frozenset[str]
    """The words said, and neighbours joined to one word ("cross feed": crossfeed)."""
    challenge: tuple[str, ...]
    runs: tuple[tuple[Run, ...], ...]
    """For each token, the numbers that start there, longest first."""
    contrasts: tuple[frozenset[str], ...]
    """A checklist's own sets of words that exclude one another."""
    tables: Tables


def prepare(
    tokens: tuple[Token, ...],
    challenge: tuple[Token, ...],
    tables: Tables,
    contrasts: tuple[frozenset[str], ...] = (),
) -> Reply:
    """Work out once for a reply what may be passed over where."""
    skips = tuple(_skip(tokens, i, tables) for i in range(len(tokens)))
    asked = tuple(t.text for t in challenge)
    echoes = tuple(_echo(tokens, i, asked, tables) for i in range(len(tokens)))
    said = [t.text for t in tokens]
    texts = frozenset(said).union(a + b for a, b in pairwise(said))
    runs = tuple(
        tuple(number_runs(tokens, i, tables)) if _may_begin(tokens, i) else ()
        for i in range(len(tokens))
    )
    return Reply(tokens, skips, echoes, texts, asked, runs, contrasts, tables)


def _may_begin(tokens: tuple[Token, ...], i: int) -> bool:
    return tokens[i].piece is not None or tokens[i].text == "a"


def _skip(tokens: tuple[Token, ...], i: int, tables: Tables) -> int:
    found = phrase_at(tokens, i, tables.skip_phrases)
    if found:
        return found[0]
    if tokens[i].piece is not None and i and tokens[i - 1].piece is not None:
        return 0  # "oh" after a digit is a zero, not a sigh
    return 1 if tokens[i].text in tables.skip_words else 0


def _echo(tokens: tuple[Token, ...], i: int, challenge: tuple[str, ...], tables: Tables) -> int:
    """Return the length of the run at ``i`` that repeats words of the challenge in its order.

    It must hold a word that is neither state, side nor number, and may not name one side of two.
    """
    at, n = 0, 0
    best = 0
    while i + n < len(tokens):
        text = tokens[i + n].text
        if text in challenge[at:]:
            at = challenge.index(text, at) + 1
            n += 1
            run = tuple(t.text for t in tokens[i : i + n])
            if _echo_allowed(run, challenge, tables):
                best = n
        elif n and text in tables.skip_words:
            n += 1
        else:
            break
    return best


def _echo_allowed(run: tuple[str, ...], challenge: tuple[str, ...], tables: Tables) -> bool:
    sides = tables.sides & set(challenge)
    if len(sides) > 1 and sides & set(run) and not sides <= set(run):
        return False
    return any(names_a_thing(w, tables) for w in run)


def names_a_thing(word: str, tables: Tables) -> bool:
    """True for a word that is no state, side, number, negation or grammar word."""
    return not (
        word in tables.sides
        or word in tables.opposites
        or word in tables.pieces
        or word in tables.negations
        or word in tables.skip_words
        or word in tables.beside
    )


def number_runs(tokens: tuple[Token, ...], i: int, tables: Tables) -> Iterator[Run]:
    """Yield the numbers that start at token ``i``, longest first."""
    spans = list(_spans(tokens, i, tables))
    for end, pieces in reversed(spans):
        reading = read(pieces)
        if reading is None or (end - i == 1 and tokens[i].text in ("oh", "o")):
            continue
        found = phrase_at(tokens, end, tables.unit_words) if end < len(tokens) else None
        unit = found[1][0] if found else None
        yield Run(i, end, reading, unit, end + (found[0] if found else 0))


def _spans(
    tokens: tuple[Token, ...], i: int, tables: Tables
) -> Iterator[tuple[int, tuple[Piece, ...]]]:
    pieces: list[Piece] = []
    at = i
    while at < len(tokens) and at - i < _LONGEST_NUMBER:
        token = tokens[at]
        piece = token.piece
        if piece is None and pieces and _half(tokens, at):
            yield at + 3, (*pieces, Piece(PieceKind.HALF))
            return
        if piece is None:
            if not _inside_number(tokens, at, pieces, tables):
                return
            if token.text == "a":
                pieces.append(Piece(PieceKind.DIGIT, "1"))
            at += 1
            continue
        if at == i and piece.soft and not _soft_start(tokens, at, tables):
            return
        pieces.append(piece)
        at += 1
        yield at, tuple(pieces)


def _half(tokens: tuple[Token, ...], at: int) -> bool:
    return [t.text for t in tokens[at : at + 3]] == ["and", "a", "half"]


def _inside_number(tokens: tuple[Token, ...], at: int, pieces: list[Piece], tables: Tables) -> bool:
    """Hesitations inside a number; "and" after hundred or thousand; "a" before them."""
    text = tokens[at].text
    following = tokens[at + 1].piece if at + 1 < len(tokens) else None
    if text == "a":
        scale = following is not None and following.kind in _SCALES
        return scale and (not pieces or pieces[-1].kind in _SCALES)
    if not pieces or following is None:
        return False
    if text == "and":
        return pieces[-1].kind in _SCALES and not following.soft
    return text in tables.hesitations


def _soft_start(tokens: tuple[Token, ...], at: int, tables: Tables) -> bool:
    """ "To", "for", "oh" begin a number only at the start, after a number, or alone at the end."""
    before = [t for t in tokens[:at] if t.text not in tables.hesitations | tables.courtesies]
    if not before or before[-1].piece is not None:
        return True
    following = tokens[at + 1].piece if at + 1 < len(tokens) else None
    if tokens[at].text in ("oh", "o"):
        return following is not None
    piece = tokens[at].piece
    if piece is not None and piece.kind is PieceKind.REPEAT:
        return following is not None and following.kind is PieceKind.DIGIT
    labelled = any(before[-1].text in index for index in (tables.labels,))
    return labelled and at + 1 == len(tokens)


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
        self._budget = 4000

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
        return bool(passed) and self._tail(i + passed)

    def _repeats(self, i: int) -> bool:
        """The whole answer said again; a short number right after a number is not a repeat."""
        before, here = self.tokens[i - 1], self.tokens[i]
        if before.piece and here.piece:
            digits = {
                c for e in self.sequence if isinstance(e, Number) for c in str(e.value.number)
            }
            if len(digits - set(".-")) < 3:
                return False
        again = self._from(i, 0, 0)
        return again


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
    return length if length and _echo_allowed(run, reply.challenge, reply.tables) else 0


def word_length(tokens: tuple[Token, ...], i: int, word: str, reply: Reply) -> int:
    """Return how many tokens at ``i`` say ``word`` (0: none)."""
    text = tokens[i].text
    if text == word or reply.tables.alphabet.get(text) == word:
        return 1
    if i + 1 < len(tokens) and len(text) < len(word) and text + tokens[i + 1].text == word:
        return 2
    if any(text in group or word in group for group in reply.contrasts):
        return 0
    return 1 if alike(text, word, reply.tables) else 0


def alike(said: str, listed: str, tables: Tables) -> bool:
    """True for a slip in a long word that is in no table: never for states, sides or numbers."""
    if len(listed) < 9 or said in tables.known or listed in tables.known:
        return False
    if (said[0], said[-1]) != (listed[0], listed[-1]):
        return False
    if _prefixed(said, tables) != _prefixed(listed, tables):
        return False
    return bool(OSA.distance(said, listed, score_cutoff=1) <= 1)


def _prefixed(word: str, tables: Tables) -> str:
    return next((p for p in tables.prefixes if word.startswith(p)), "")


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
