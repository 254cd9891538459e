"""The lines of a page as text, without what counts them, and cut in two."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from callout.core.authoring.quantities import unit_end
from callout.core.authoring.rows import divided_row
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Cell, Row

FEWEST: Final = 3
"""Lines that must keep a convention."""
SHARE: Final = 0.45
"""And their share of all lines."""
LARGER: Final = 1.15
"""Height of a line that is a heading, relative to most others."""
_PREFIX: Final = re.compile(
    r"(?P<word>(?:step|no|nr|item|check|line|pos)\.?\s+|[A-Z]{1,4}-)?(?P<mark>[#(\[]?)(?P<count>\d{1,3}(?:\.\d{1,2})*"
    r"|[A-Za-z](?=[.):])|[ivxIVX]{1,5}(?=[.):]))(?P<after>[.):\]-]{0,2})\s+(?=\S)",
    re.IGNORECASE,
)
_HALF: Final = 0.5
"""Part of a letter height by which a line is over the one before it, if both are one."""
_NUMBERED: Final = 0.85
_STEP: Final = re.compile(r"([A-Za-z])\s+(?=[A-Z])")
_INITIAL: Final = re.compile(r"([A-Za-z])[\s.:)\u2013-]*\s(?=(\w)\w)")
"""A letter before a word: if it is the word's first, a mnemonic is printed so, "C Controls"."""
_MARK: Final = re.compile(r"(?:[^\w\s([{<\"'\u201c\u00ab]|_(?!_))+\s+(?=\w)")


def text_of(row: Row) -> str:
    """Return the text of a row, with the marks at which it was divided if no gap divides it."""
    first = row.cells[0]
    if len(row.cells) > 1 and first.left == row.cells[1].left and first.text in row.origin.text:
        return row.origin.text[row.origin.text.index(first.text) :].strip()
    return " ".join(cell.text for cell in row.cells).strip()


def cut_in_two(row: Row, challenge: str, response: str) -> Row:
    first, last = row.cells[0], row.cells[-1]
    sure = min(cell.sure for cell in row.cells)
    cells = (
        Cell(challenge, first.left, first.right, sure),
        Cell(response, last.left, last.right, sure),
    )
    return replace(row, cells=cells, leader=True, line=False, heading=False)


def has_letters(text: str) -> bool:
    return re.search(r"[^\W_]|__", text) is not None


def without_counts(rows: Sequence[Row]) -> list[Row]:
    """Return rows without the numbers or marks that most of them begin with, if they do."""
    rows = _without_initials(_without_letters(rows))
    texts = [row.origin.text for row in rows]
    found = [_PREFIX.match(text) for text in texts]
    shapes = Counter(_shape(m) for m in found if m)
    for shape, count in shapes.most_common(1):
        same = [m if m and _shape(m) == shape else None for m in found]
        if count >= max(FEWEST, 0.4 * len(rows)) and _rises([m["count"] for m in same if m]):
            made = [_bare(row, m.end() if m else 0) for row, m in zip(rows, same, strict=True)]
            return _as_sheet(rows, made) if _is_sheet(rows, same) else made
    ends = [_end_of_initial(text) for text in texts]
    if sum(map(bool, ends)) >= max(FEWEST, 0.4 * len(rows)):
        return [_bare(row, end) for row, end in zip(rows, ends, strict=True)]
    marks = [_MARK.match(text) for text in texts]
    for mark, count in Counter(m[0].strip() for m in marks if m).most_common(1):
        if count >= max(FEWEST, 0.5 * len(rows)):
            ends = [m.end() if m and m[0].strip() == mark else 0 for m in marks]
            return [_bare(row, end) for row, end in zip(rows, ends, strict=True)]
    return list(rows)


def _without_initials(rows: Sequence[Row]) -> list[Row]:
    """Return rows without the letters of a mnemonic that stand in a column of their own."""
    found = [_has_initial(row) for row in rows]
    if sum(found) < FEWEST:
        return list(rows)
    same = {row.cells[0].text for row, initial in zip(rows, found, strict=True) if initial}
    return [  # a letter of the word may stand for two items
        _bare(row, len(row.cells[0].text.strip()))
        if initial or (len(row.cells) > 2 and row.cells[0].text in same)
        else row
        for row, initial in zip(rows, found, strict=True)
    ]


def _has_initial(row: Row) -> bool:
    if len(row.cells) < 3:
        return False
    letter, name = row.cells[0].text.strip(" .:"), row.cells[1].text
    return len(letter) == 1 and letter.isalpha() and letter.casefold() == name[:1].casefold()


def _end_of_initial(text: str) -> int:
    """Return where the word begins whose first letter is set before it; 0 if there is none."""
    found = _INITIAL.match(text)
    return found.end() if found and found[1].casefold() == found[2].casefold() else 0


def _is_sheet(rows: Sequence[Row], counts: Sequence[re.Match[str] | None]) -> bool:
    """Say whether the lines of a sheet are numbered, its title too, rather than the items."""
    first = next((at for at, count in enumerate(counts) if count), 0)
    title = counts[first]
    whole = sum(map(bool, counts[first:])) >= _NUMBERED * (len(rows) - first)
    plain = title is not None and not (title["word"] or title["mark"] or title["after"])
    return whole and plain and len(_bare(rows[first], title.end() if title else 0).cells) == 1


def _as_sheet(rows: Sequence[Row], made: Sequence[Row]) -> list[Row]:
    """Return rows without their numbers, which make no line a step."""
    return [replace(new, bullet=old.bullet) for old, new in zip(rows, made, strict=True)]


def _without_letters(rows: Sequence[Row]) -> list[Row]:
    """Return rows; steps counted "a", "b", "c" on lines that follow one another lose the letter."""
    found = [_STEP.match(row.origin.text) for row in rows]
    letters = [m[1].casefold() if m else "" for m in found]
    made = list(rows)
    for at, letter in enumerate(letters):
        steps = 0
        while letter == "a" and letters[at + steps : at + steps + 1] == [chr(ord("a") + steps)]:
            steps += 1
        for step in range(at, at + steps if steps > 1 else at):
            end = found[step]
            made[step] = _bare(rows[step], end.end() if end else 0)
    return made


def _shape(found: re.Match[str]) -> tuple[str, str, str, int]:
    word = (found["word"] or "").casefold()
    return word, found["mark"], found["after"], found["count"].count(".")


def _rises(counts: Sequence[str]) -> bool:
    """Say whether numbers or letters count: each is the next one, or begins again."""
    numbers = [tuple(map(_number, count.split("."))) for count in counts]
    steps = sum(
        two[-1] in (one[-1] + 1, 1) and two[:-1] >= one[:-1] for one, two in pairwise(numbers)
    )
    return len(numbers) >= FEWEST and steps >= 0.7 * (len(numbers) - 1)


def _number(count: str) -> int:
    if count.isdigit():
        return int(count)
    roman = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9}
    return roman.get(count.casefold()) or ord(count[0].casefold()) - ord("a") + 1


def _bare(row: Row, end: int) -> Row:
    """Return a row without the first ``end`` letters; what was divided there is divided again."""
    gone = row.origin.text[:end].strip()
    first, *rest = row.cells
    if not end or not gone:
        return row
    if first.text.startswith(gone) and has_letters(first.text[len(gone) :]):
        first = replace(first, text=first.text[len(gone) :].strip())
        row = replace(row, cells=(first, *rest))
    elif first.text.strip(" .:)(]#") == gone.strip(" .:)(]#") and rest:
        row = replace(row, cells=tuple(rest))
    else:
        return row
    made = divided_row(row) if len(row.cells) == 1 else row
    return replace(without_name(made, gone), bullet=True)


def without_name(row: Row, name: str) -> Row:
    """Return a row whose text no longer has ``name``, which stands in no cell."""
    text = row.origin.text.replace(name, "", 1).strip()
    dropped = f"{row.dropped} {name}".strip()
    return replace(row, origin=replace(row.origin, text=text), dropped=dropped)


def once(rows: Sequence[Row]) -> list[Row]:
    """Return rows without a blank that was seen twice: as letters on a line, and as its stroke."""
    kept: list[Row] = []
    for at, row in enumerate(rows):
        beside = (*rows[max(0, at - 1) : at], *rows[at + 1 : at + 2])
        alone = row.origin.text.strip() == BLANK
        if not (alone and any(_covers(other, row) for other in beside)):
            kept.append(row)
    return _with_units_beside(kept)


def _with_units_beside(rows: Sequence[Row]) -> list[Row]:
    """Return rows; a blank seen a second time with its unit, half a line too high, is one value."""
    made: list[Row] = []
    for row in rows:
        last = made[-1] if made else row
        unit = last.origin.text.strip().removeprefix(BLANK).strip()
        again = len(last.cells) == 1 and unit and unit_end(unit) == len(unit)
        bare = row.cells[-1].text == BLANK and row.gap < -_HALF and _covers(row, last)
        if again and bare and last.origin.text.startswith(BLANK):
            cell = replace(row.cells[-1], text=f"{BLANK} {unit}")
            origin = replace(row.origin, text=f"{row.origin.text} {unit}")
            made[-1] = replace(row, cells=(*row.cells[:-1], cell), origin=origin)
        else:
            made.append(row)
    return made


def _covers(row: Row, blank: Row) -> bool:
    """Say whether a line with a blank stands where ``blank`` stands alone."""
    one, other = row.origin.box, blank.origin.box
    if one is None or other is None or BLANK not in row.origin.text or row is blank:
        return False
    over = one.down(other) > 0.3 * other.height and one.across(other) > 0.5 * other.width
    return over and len(row.cells) > 1
