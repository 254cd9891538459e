"""Conventions of place and words: the response first, under, in a column of its own, or last."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.likely import challenge_likeness, pair_likeness, response_likeness
from callout.core.paper.page import Cell, Row
from callout.core.weighing.lines import FEWEST, LARGER, SHARE, cut_in_two, has_letters, text_of
from callout.core.weighing.signs import one_of_two, ways_of_signs

_LEADING: Final = frozenset({"check", "verify", "confirm", "ensure", "that", "the"})
"""First words of a step that say to look: the thing comes after them."""
_LINKING: Final = frozenset({"is", "are", "to", "be", "must", "should", "shall", "confirm"})
"""Last words before a state."""
_MARKS: Final = " :,;.=\u2013\u2014-"
_SMALL: Final = re.compile(r"[a-z]")
_JOINING: Final = frozenset(
    {"or", "and", "to", "in", "a", "of", "per", "at", "for", "with", "then"}
)
"""Small words within a response in capitals."""
_FEWEST_TYPED, _TYPED = 4, 0.6
"""Lines, and share of the lines in two parts, whose second part is set in a type of its own."""
_WHOLE: Final = 0.6
PUNCTUATION: Final = " .!;,\t"


def ways_of_order(rows: Sequence[Row]) -> Iterator[list[Row]]:
    two = [row for row in rows if len(row.cells) == 2]
    if len(two) >= FEWEST:
        yield _turned(rows)
    for made in ways_of_signs(rows):
        yield _turned(made)


def _turned(rows: Sequence[Row]) -> list[Row]:
    return [
        replace(row, cells=(row.cells[1], row.cells[0]), leader=True)
        if len(row.cells) == 2
        else row
        for row in rows
    ]


def ways_of_type(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield rows divided where the type changes: one of the two parts is bold."""
    made = [_at_tail(row) for row in rows]
    cut = sum(new is not old for new, old in zip(made, rows, strict=True))
    if cut >= max(FEWEST, SHARE * len(rows)):
        yield made


def divided_by_type(rows: Sequence[Row]) -> list[Row]:
    """Return rows; where responses are set in another type, one that nearly touches is divided."""
    two = [row for row in rows if len(row.cells) == 2]
    told = sum(row.tail == row.cells[1].text for row in two)
    if told < max(_FEWEST_TYPED, _TYPED * len(two)):
        return list(rows)
    return [_at_tail(row) if len(row.cells) == 1 and not row.heading else row for row in rows]


def _at_tail(row: Row) -> Row:
    text = text_of(row)
    gap = len(row.cells) > 1 and row.cells[0].left != row.cells[1].left
    if gap or not row.tail or not text.endswith(row.tail) or row.height > LARGER:
        return row
    head = text.removesuffix(row.tail).strip(_MARKS)
    tail = row.tail.strip(_MARKS)
    return cut_in_two(row, head, tail) if has_letters(head) and has_letters(tail) else row


def ways_of_case(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield rows divided where capitals begin, if the challenges are set in small letters."""
    made = [_at_capitals(row) for row in rows]
    cut = sum(new is not old for new, old in zip(made, rows, strict=True))
    if cut >= max(FEWEST, SHARE * len(rows)):
        yield made


def _at_capitals(row: Row) -> Row:
    if len(row.cells) > 1 or row.heading or row.height > LARGER:
        return row
    words = text_of(row).split()
    small = [at for at, word in enumerate(words) if _SMALL.search(word) and word not in _JOINING]
    last = small[-1] + 1 if small else 0
    head, tail = " ".join(words[:last]).rstrip(_MARKS), " ".join(words[last:])
    said = re.search(r"[A-Z]{2}|\d|__", tail) is not None
    return cut_in_two(row, head, tail) if last and said and has_letters(head) else row


def ways_of_words(rows: Sequence[Row]) -> Iterator[list[Row]]:
    bullets = 2 * sum(row.bullet for row in rows) > len(rows)
    made = [
        _by_words(row) if len(row.cells) == 1 and (row.bullet or not bullets) else row
        for row in rows
    ]
    cut = sum(len(new.cells) > len(old.cells) for new, old in zip(made, rows, strict=True))
    if cut >= max(FEWEST, SHARE * len(rows)):
        yield made


def _by_words(row: Row) -> Row:
    """Return a line divided before the longest end of it that says a state and nothing else."""
    if row.height > LARGER or row.banner or row.heading:
        return row
    best = said_last(text_of(row).rstrip(PUNCTUATION))
    return row if best is None else cut_in_two(row, *best)


def said_last(text: str) -> tuple[str, str] | None:
    """Return a thing and the state that the end of a text says of it; None if it says none."""
    best: tuple[str, str] | None = None
    for found in re.finditer(r"(?<=[^\s])\s+(?=\S)", text):
        head, tail = text[: found.start()], text[found.end() :]
        if head.count("(") > head.count(")"):
            continue
        if response_likeness(tail) > 0.85 and challenge_likeness(_unlinked(head)) >= 0.8:
            best = head, tail
            break
    if best is None or not _shows(text, *best):
        return None
    return _named(_unlinked(best[0])), best[1]


def _unlinked(head: str) -> str:
    """Return a challenge without the words that lead to its state: "Beacon must be"."""
    words = head.split()
    while words and words[-1].strip(_MARKS).casefold() in _LINKING | {""}:
        words.pop()
    return " ".join(words).rstrip(_MARKS)


def _named(challenge: str) -> str:
    """Return a challenge without the words that say to look: "Verify that the beacon"."""
    words = challenge.split()
    while len(words) > 1 and words[0].casefold() in _LEADING:
        words.pop(0)
    return " ".join(words)


def _shows(text: str, head: str, tail: str) -> bool:
    return not head.endswith((",", "(")) and has_letters(tail)


def ways_of_pairs(rows: Sequence[Row]) -> Iterator[list[Row]]:
    made: list[Row] = []
    joined = 0
    at = 0
    while at < len(rows):
        row = rows[at]
        under = rows[at + 1] if at + 1 < len(rows) else None
        if under is not None and _is_pair(row, under):
            said = re.sub(r"^(?:[^\w\s(_]+|R:|r:)\s*", "", under.origin.text)
            made.append(one_of_two(row, under, said.strip("() ") if said.endswith(")") else said))
            joined += 1
            at += 2
        else:
            made.append(row)
            at += 1
    if joined >= FEWEST and 2 * joined >= SHARE * len(rows):
        yield made


def _is_pair(row: Row, under: Row) -> bool:
    if len(row.cells) != 1 or under.gap > 1.5 or row.origin.page != under.origin.page:
        return False
    parts = [cell.text for cell in under.cells]
    if len(parts) == 2 and pair_likeness(*parts) > _WHOLE:
        return False  # an item by itself
    said = re.sub(r"^[^\w\s(_]+\s*", "", under.origin.text)
    return response_likeness(said) > 0.6 and challenge_likeness(text_of(row)) > 0.5


def ways_of_columns(rows: Sequence[Row]) -> Iterator[list[Row]]:
    wide = [row for row in rows if len(row.cells) > 2]
    if len(wide) < FEWEST or len(wide) < SHARE * len(rows):
        return
    starts = _starts(wide)
    best: tuple[float, int, int] | None = None
    for one in range(len(starts)):
        for two in range(len(starts)):
            if one != two:
                score = sum(_column_score(row, starts, one, two) for row in wide)
                best = max(best or (score, one, two), (score, one, two))
    if best is not None and best[0] > 0:
        yield [_from_columns(row, starts, best[1], best[2]) for row in rows]


def _starts(rows: Sequence[Row]) -> list[float]:
    usual = Counter(len(row.cells) for row in rows).most_common(1)[0][0]
    same = [row for row in rows if len(row.cells) == usual]
    return [sorted(row.cells[at].left for row in same)[len(same) // 2] for at in range(usual)]


def _cell_at(row: Row, starts: Sequence[float], at: int) -> Cell | None:
    return next(
        (
            c
            for c in row.cells
            if min(range(len(starts)), key=lambda n: abs(starts[n] - c.left)) == at
        ),
        None,
    )


def _column_score(row: Row, starts: Sequence[float], one: int, two: int) -> float:
    challenge, response = _cell_at(row, starts, one), _cell_at(row, starts, two)
    if challenge is None or response is None:
        return -0.2
    return challenge_likeness(challenge.text) * response_likeness(response.text) - 0.5 * (
        response_likeness(challenge.text)
    )


def _from_columns(row: Row, starts: Sequence[float], one: int, two: int) -> Row:
    challenge, response = _cell_at(row, starts, one), _cell_at(row, starts, two)
    if challenge is None or response is None or len(row.cells) < 2:
        return row
    more = [
        c for c in row.cells if c not in (challenge, response) and re.search(r"[^\W\d_]", c.text)
    ]
    return replace(row, cells=(challenge, response, *more), leader=True)
