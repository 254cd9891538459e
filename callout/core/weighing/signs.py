"""Conventions of signs: one between challenge and response, brackets, a name before each."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.likely import response_likeness
from callout.core.paper.page import Cell, Row, joined_origin
from callout.core.weighing.lines import (
    FEWEST,
    SHARE,
    cut_in_two,
    has_letters,
    text_of,
    without_name,
)

_MOST_SIGNS: Final = 5
SIGN: Final = re.compile(
    r"(?<![\w])[^\w\s]+(?!\w)|(?<=\w)[^\w\s,.'\u2019]+(?=\s)"
    r"|[=:|~>\u00bb\u2192/\\*#^@\u00ac\u00a6]+|(?<!_)_{15,}+"
)
_MARK: Final = re.compile(r"[^\w\s?!]|_")
_COMMA: Final = re.compile(r",(?=\s)")
_STATE: Final = 0.4
_NEARLY: Final = 0.7
"""Share of the lines that a comma must divide."""
_LONG_LINE: Final = 15


def ways_of_signs(rows: Sequence[Row]) -> Iterator[list[Row]]:
    texts = [text_of(row) for row in rows]
    counts: Counter[str] = Counter()
    for text in texts:
        inner = {m[0] for m in SIGN.finditer(text) if is_between(text, m)}
        inner |= {f"run {text[a]}" for a, b in _runs(text) if _parts(text, a, b)}
        counts.update(inner)
    long = sum(1 for text in texts if len(text.split()) > 1)
    least = max(FEWEST, SHARE * long)
    if sum(_parts(t, *m.span()) for t in texts if (m := _COMMA.search(t))) >= _NEARLY * long:
        made = [_at_comma(row, text) for row, text in zip(rows, texts, strict=True)]
        name = made[0].cells[-1].text
        yield made if response_likeness(name) > _STATE else [rows[0], *made[1:]]  # or a title
    for sign, count in counts.most_common(_MOST_SIGNS):
        if count < least:
            break
        for last in (False, True):
            yield [_at_sign(row, text, sign, last) for row, text in zip(rows, texts, strict=True)]


def _at_comma(row: Row, text: str) -> Row:
    found = _COMMA.search(text)
    if found is None or not _parts(text, *found.span()):
        return row
    return cut_in_two(row, text[: found.start()].strip(), text[found.end() :].strip())


def is_between(text: str, found: re.Match[str]) -> bool:
    """Say whether there are words on both sides of what was found."""
    return _parts(text, *found.span())


def _parts(text: str, start: int, end: int) -> bool:
    return has_letters(text[:start]) and has_letters(text[end:])


def _runs(text: str) -> list[tuple[int, int]]:
    """Return where one sign is repeated, close together: what leads the eye."""
    runs: list[list[re.Match[str]]] = []
    for mark in _MARK.finditer(text):
        last = runs[-1][-1] if runs else None
        goes_on = last and last[0] == mark[0] and not text[last.end() : mark.start()].strip()
        if goes_on and last and mark.start() - last.end() < 2:
            runs[-1].append(mark)
        else:
            runs.append([mark])
    least = {"_": _LONG_LINE}
    return [(r[0].start(), r[-1].end()) for r in runs if len(r) >= least.get(r[0][0], FEWEST)]


def _at_sign(row: Row, text: str, sign: str, last: bool) -> Row:
    if sign.startswith("run "):
        spans = [(a, b) for a, b in _runs(text) if text[a] == sign[4:]]
    else:
        spans = [m.span() for m in re.finditer(re.escape(sign), text)]
    found = [(a, b) for a, b in spans if _parts(text, a, b)]
    if not found:
        return row
    at = found[-1] if last else found[0]
    return cut_in_two(row, text[: at[0]].strip(), text[at[1] :].strip())


def ways_of_brackets(rows: Sequence[Row]) -> Iterator[list[Row]]:
    found = [_bracketed(text_of(row)) for row in rows]
    pairs = Counter(pair[0] for pair in found if pair)
    for (opens, closes), count in pairs.most_common(2):
        if count >= max(FEWEST, SHARE * len(rows)):
            yield [
                cut_in_two(row, pair[1], pair[2]) if pair and pair[0] == (opens, closes) else row
                for row, pair in zip(rows, found, strict=True)
            ]


def _bracketed(text: str) -> tuple[tuple[str, str], str, str] | None:
    """Return the signs around the end of a line, what is before them, and what is in them."""
    inner, closing = text.rstrip(". ")[:-1], text.rstrip(". ")[-1:]
    if not closing or closing.isalnum() or closing.isspace() or closing in "!?%\u00b0_":
        return None
    found = list(re.finditer(r"(?<=[\s\w])([^\w\s])(?=[\w+<>~\u00b1-]|\s__)", inner))
    after = [one for one in found if inner[one.start() - 1].isspace()]
    opening = after[-1] if after else found[0] if found else None
    if opening is None or not has_letters(inner[: opening.start()]):
        return None
    told = inner[opening.end() :].strip()
    if not has_letters(told):
        return None
    return (opening[1], closing), inner[: opening.start()].strip(), told


def ways_of_names(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield rows of "Check: Beacon", "Reply: on", on one line or on two."""
    starts = [_first_name(text_of(row)) for row in rows]
    counts = Counter(name for name in starts if name)
    names = [name for name, count in counts.most_common(2) if count >= FEWEST]
    if len(names) == 2 and SHARE * len(rows) <= counts[names[0]] + counts[names[1]]:
        first = next(name for name in starts if name in names)
        second = names[1] if first == names[0] else names[0]
        yield _named_below(rows, starts, first, second)
    if names:
        inner = Counter(
            m[0].strip()
            for row, start in zip(rows, starts, strict=True)
            if start == names[0]
            for m in re.finditer(r"(?<=\s)[A-Z][A-Za-z]*:?(?=\s)", text_of(row)[len(names[0]) :])
        )
        for second, count in inner.most_common(2):
            if count >= max(FEWEST, 0.8 * counts[names[0]]):
                yield [_named_beside(row, names[0], second) for row in rows]


def _first_name(text: str) -> str:
    found = re.match(r"([^\W\d]+\.?:?)\s+\S", text)
    return found[1] if found else ""


def _named_below(rows: Sequence[Row], starts: Sequence[str], first: str, second: str) -> list[Row]:
    made: list[Row] = []
    for row, start in zip(rows, starts, strict=True):
        text = text_of(row)
        if start == first:
            cell = replace(row.cells[0], text=text[len(first) :].strip())
            made.append(without_name(replace(row, cells=(cell,)), first))
        elif start == second and made and len(made[-1].cells) == 1:
            held = made[-1]
            made[-1] = one_of_two(held, row, text[len(second) :].strip(), second)
        else:
            made.append(row)
    return made


def _named_beside(row: Row, first: str, second: str) -> Row:
    text = text_of(row)
    found = re.search(rf"\s{re.escape(second)}\s", text)
    if not text.startswith(first) or found is None:
        return row
    made = cut_in_two(row, text[len(first) : found.start()].strip(), text[found.end() :].strip())
    return without_name(without_name(made, first), second)


def one_of_two(row: Row, under: Row, response: str, name: str = "") -> Row:
    """Return a challenge and the line with its response as one row; ``name`` is in no cell."""
    under = without_name(under, name) if name else under
    last = under.cells[-1]
    sure = min(cell.sure for cell in under.cells)
    cells = (Cell(text_of(row), row.cells[0].left, row.cells[-1].right, row.cells[0].sure),)
    return replace(
        row,
        cells=(*cells, Cell(response, last.left, last.right, sure)),
        origin=joined_origin(row.origin, under.origin),
        dropped=f"{row.dropped} {under.dropped}".strip(),
        hole=row.hole or under.hole,
        leader=True,
    )
