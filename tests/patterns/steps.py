"""Counts the steps of a backtracking matcher, so that growth can be compared without a clock.

It goes through the tree that Python's own ``re`` makes of a pattern, in the order in which ``re``
tries things.
"""

from __future__ import annotations

import re
import re._constants as c  # type: ignore[import-not-found]
import re._parser as tree  # type: ignore[import-not-found]
import sys
from collections.abc import Callable, Iterator
from functools import cache
from itertools import islice
from typing import Any

MOST = 60_000
"""Steps after which a match counts as endless."""
_SHORT = 4
"""What a bounded repeat is shortened to: its bound is what makes it harmless."""
Then = Callable[[int], bool]

_CLASSES: dict[Any, Callable[[str], bool]] = {
    c.CATEGORY_SPACE: str.isspace,
    c.CATEGORY_NOT_SPACE: lambda x: not x.isspace(),
    c.CATEGORY_DIGIT: str.isdecimal,
    c.CATEGORY_NOT_DIGIT: lambda x: not x.isdecimal(),
    c.CATEGORY_WORD: lambda x: x.isalnum() or x == "_",
    c.CATEGORY_NOT_WORD: lambda x: not (x.isalnum() or x == "_"),
}


class Endless(Exception):
    """More steps than anybody would wait for."""


class Matcher:
    """One pattern, matched step by step."""

    def __init__(self, pattern: str | bytes, flags: int = 0) -> None:
        text = pattern.decode("latin-1") if isinstance(pattern, bytes) else pattern
        self.tree = tree.parse(text, flags)
        self.steps = 0
        self._text = ""
        self._fold = bool(self.tree.state.flags & re.IGNORECASE)

    def search(self, text: str) -> int:
        """Return the steps of finding every match in ``text``, one after another."""
        self.steps = 0
        at = 0
        while at <= len(text):
            end = self.end_of(text, at)
            at = max(end, at + 1) if end is not None else at + 1
        return self.steps

    def match(self, text: str) -> int:
        """Return the steps of finding a match at the beginning."""
        self.steps = 0
        self.end_of(text)
        return self.steps

    def fullmatch(self, text: str) -> int:
        """Return the steps of matching all of ``text``."""
        self.steps = 0
        self.end_of(text, whole=True)
        return self.steps

    def end_of(self, text: str, at: int = 0, *, whole: bool = False) -> int | None:
        """Return where the match that begins at ``at`` ends."""
        self._text = text
        usual = sys.getrecursionlimit()
        sys.setrecursionlimit(20_000)
        try:
            return self._first(list(self.tree), at, whole=whole)
        finally:
            sys.setrecursionlimit(usual)

    def _first(self, items: list[Any], at: int, *, whole: bool = False) -> int | None:
        found: list[int] = []

        def then(end: int) -> bool:
            if whole and end < len(self._text):
                return False
            found.append(end)
            return True

        self._seq(items, 0, at, then)
        return found[0] if found else None

    def unbounded(self) -> bool:
        """Say whether anything in the pattern may repeat without end."""
        return any(
            op in (c.MAX_REPEAT, c.MIN_REPEAT, c.POSSESSIVE_REPEAT) and arg[1] == c.MAXREPEAT
            for op, arg in nodes(self.tree)
        )

    def _seq(self, items: list[Any], n: int, at: int, then: Then) -> bool:
        self.steps += 1
        if self.steps > MOST:
            raise Endless
        if n == len(items):
            return then(at)
        return self._one(items[n], at, lambda end: self._seq(items, n + 1, end, then))

    def _one(self, item: Any, at: int, then: Then) -> bool:
        op, arg = item
        if op in (c.LITERAL, c.NOT_LITERAL, c.ANY, c.IN):
            return at < len(self._text) and self._char(op, arg, self._text[at]) and then(at + 1)
        if op in (c.MAX_REPEAT, c.MIN_REPEAT):
            return self._repeat(op, arg, 0, at, then)
        if op is c.POSSESSIVE_REPEAT:
            return self._atomic([(c.MAX_REPEAT, arg)], at, then)
        if op is c.ATOMIC_GROUP:
            return self._atomic(list(arg), at, then)
        if op is c.SUBPATTERN:
            return self._seq(list(arg[3]), 0, at, then)
        if op is c.BRANCH:
            return any(self._seq(list(way), 0, at, then) for way in arg[1])
        if op is c.AT:
            return self._place(arg, at) and then(at)
        assert op in (c.ASSERT, c.ASSERT_NOT), f"{op} is no part of the checked subset"
        return self._looks(arg, at) == (op is c.ASSERT) and then(at)

    def _repeat(self, op: Any, arg: Any, done: int, at: int, then: Then) -> bool:
        low, high, body = arg
        most = high if high == c.MAXREPEAT else min(high, max(low, _SHORT))

        def again(end: int) -> bool:
            return (end > at or done < low) and self._repeat(op, arg, done + 1, end, then)

        def more() -> bool:
            return done < most and self._seq(list(body), 0, at, again)

        if op is c.MAX_REPEAT:
            return more() or (done >= low and then(at))
        return (done >= low and then(at)) or more()

    def _atomic(self, items: list[Any], at: int, then: Then) -> bool:
        end = self._first(items, at)
        return end is not None and then(end)

    def _looks(self, arg: Any, at: int) -> bool:
        direction, body = arg
        start = at if direction > 0 else at - body.getwidth()[0]
        end: Then = (lambda found: True) if direction > 0 else (lambda found: found == at)
        return start >= 0 and self._seq(list(body), 0, start, end)

    def _place(self, where: Any, at: int) -> bool:
        text = self._text
        if where in (c.AT_BEGINNING, c.AT_BEGINNING_STRING):
            return at == 0
        if where in (c.AT_END, c.AT_END_STRING):
            return at == len(text)
        word = _CLASSES[c.CATEGORY_WORD]
        edge = (at > 0 and word(text[at - 1])) != (at < len(text) and word(text[at]))
        return edge == (where is c.AT_BOUNDARY)

    def _char(self, op: Any, arg: Any, char: str) -> bool:
        if op is c.ANY:
            return char != "\n"
        if op is c.IN:
            return in_set(arg, char) or (
                self._fold and (in_set(arg, char.lower()) or in_set(arg, char.upper()))
            )
        same = char == chr(arg) or (self._fold and char.lower() == chr(arg).lower())
        return same == (op is c.LITERAL)


def in_set(parts: list[Any], char: str) -> bool:
    """Say whether a set such as [^a-z] holds ``char``."""
    negated = bool(parts) and parts[0][0] is c.NEGATE
    held = any(
        (op is c.LITERAL and ord(char) == arg)
        or (op is c.RANGE and arg[0] <= ord(char) <= arg[1])
        or (op is c.CATEGORY and _CLASSES[arg](char))
        for op, arg in parts
    )
    return held != negated


def nodes(found: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every node of a tree."""
    for item in found:
        op, arg = item
        yield op, arg
        if op in (c.MAX_REPEAT, c.MIN_REPEAT, c.POSSESSIVE_REPEAT):
            yield from nodes(arg[2])
        elif op is c.SUBPATTERN:
            yield from nodes(arg[3])
        elif op is c.BRANCH:
            for way in arg[1]:
                yield from nodes(way)
        elif op in (c.ASSERT, c.ASSERT_NOT):
            yield from nodes(arg[1])
        elif op is c.ATOMIC_GROUP:
            yield from nodes(arg)


def hostile(found: Any) -> Iterator[Callable[[int], str]]:
    """Yield makers of texts of any length in which the parts of a pattern repeat.

    Each is a beginning that leads to a repeat, what is repeated, and an end that spoils it.
    """
    chars = list(dict.fromkeys(char for op, arg in nodes(found) for char in _samples(op, arg)))[:8]
    pumps = [*chars, *(a + b for a in chars[:6] for b in chars[:6] if a != b), *_words(found)]
    for before in dict.fromkeys(_beginnings(found)):
        for pump in dict.fromkeys(pumps):
            for after in ("", "\x00", "\n"):
                yield lambda n, b=before, p=pump, a=after: b + p * n + a  # type: ignore[misc]


def _samples(op: Any, arg: Any) -> list[str]:
    if op is c.LITERAL:
        return [chr(arg)]
    if op is c.IN:
        return list(islice((x for x in " a1-.,A_/:|*\t" if in_set(arg, x)), 3))
    return ["a"] if op in (c.ANY, c.NOT_LITERAL) else []


def _beginnings(found: Any) -> Iterator[str]:
    yield ""
    text = ""
    for op, arg in found:
        if op in (c.MAX_REPEAT, c.MIN_REPEAT) and arg[1] == c.MAXREPEAT:
            yield text
        text += _least(op, arg)


def _least(op: Any, arg: Any) -> str:
    """Return the shortest text that a node may match."""
    if op in (c.MAX_REPEAT, c.MIN_REPEAT, c.POSSESSIVE_REPEAT):
        return "".join(_least(*item) for item in arg[2]) * arg[0]
    if op is c.SUBPATTERN:
        return "".join(_least(*item) for item in arg[3])
    if op is c.BRANCH:
        return "".join(_least(*item) for item in arg[1][0])
    return "".join(_samples(op, arg)[:1])


def _words(found: Any) -> Iterator[str]:
    for op, arg in nodes(found):
        if op in (c.MAX_REPEAT, c.MIN_REPEAT) and arg[1] == c.MAXREPEAT:
            yield "".join(_least(*item) for item in arg[2])


@cache
def growth(
    pattern: str | bytes, flags: int = 0, method: str = "search", enough: float = float("inf")
) -> tuple[float, str]:
    """Return how steps grow when a text becomes twice as long, at worst, and such a text.

    2 is linear, 4 quadratic; endless matches count as infinite. method: "search", "match" or
    "fullmatch". enough: no worse text is looked for than one of this growth.
    """
    matcher = Matcher(pattern, flags)
    steps = getattr(matcher, method)
    worst, at = 2.0, ""
    if not matcher.unbounded():
        return worst, at
    for make in hostile(matcher.tree):
        try:
            few, more = (steps(make(n)) for n in (16, 32))
            if more <= 2 * few:
                continue  # no more than in proportion, so nothing grows with the square
            many = steps(make(64))
        except Endless:
            return float("inf"), make(4)
        ratio = (many - more) / max(1, more - few)
        if ratio > worst:
            worst, at = ratio, make(4)
        if worst >= enough:
            break
    return worst, at
