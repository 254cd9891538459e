"""Groups words into lines, and divides lines into cells, by gaps and leaders."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from callout.core.authoring.asides import role_of
from callout.core.authoring.splitting import split_text
from callout.core.paper.blanks import BLANK
from callout.core.paper.page import Box, Cell, Word, is_tab

LEADER: Final = re.compile(
    r"(?:[.\u2024\u2025\u2026\u00b7\u2022\u22c5\uff0e\u3002]\s?){3,}|(?:~\s?){3,}|\u2026{1,}|[-\u2013\u2014=~]{3,}|_{15,}+"
)
"""Three or more identical marks, which lead the eye from challenge to response."""
_ONLY_MARKS: Final = re.compile(
    r"[.\u2024\u2025\u2026\u00b7\u2022\u22c5\uff0e\u3002,:;\s]{2,}|\u2026"
)
_TICK: Final = 0.9  # space within its brackets, in letter heights
_LEADING: Final = re.compile(r"[:=\u2013\u2014\u2192\u00bb\u203a\u25ba\u25b8-]+")
"""What leads to a response, and is no part of it."""
_CODE: Final = re.compile(r"[A-Z]{1,2}|[\u2610\u25a1\u2713\u2714]")
"""Who answers, in a column of its own, or a box to tick."""
COUNTS: Final = re.compile(r"#|no\.?|nr\.?|step|\d{1,3}[.)]?", re.IGNORECASE)
_BOXES: Final = frozenset("\u25a1\u2610\u2611\u2612\u25a2\u2751")
_LIKE_BRACKETS: Final = frozenset("JjIl1|)")
_TICK_BOX: Final = "\u25a1"
_AFTER_BLANK: Final = 4.0  # what stands so near belongs to it
_SPACE: Final = 0.45  # wide for one, in letter heights
CELL_GAP: Final = 1.15
"""Clear space that divides cells, in letter heights; words are a third of one apart."""


@dataclass(slots=True)
class Line:
    """Words on one line, from left to right."""

    words: list[Word] = field(default_factory=list)

    @property
    def box(self) -> Box:
        """The smallest box around its words."""
        return Box.around(word.box for word in self.words)


def word_lines(words: Iterable[Word], em: float) -> list[Line]:
    """Return the lines of ``words``, from top to bottom."""
    lines: list[Line] = []
    for word in sorted(words, key=lambda w: (w.box.middle, w.box.left)):
        for line in reversed(lines[-4:]):
            if _is_level(line, word, em):
                line.words.append(word)
                break
        else:
            lines.append(Line([word]))
    for line in lines:
        line.words.sort(key=lambda w: w.box.left)
    return sorted(lines, key=lambda line: line.box.middle)


def boxes_apart(line: Line) -> list[Line]:
    """Return a line that begins with a box to tick and has more of them, divided before each."""
    starts = [
        at
        for at, word in enumerate(line.words)
        if word.text[:1] in _BOXES and (len(word.text) > 1 or at + 1 < len(line.words))
    ]
    if len(starts) < 2 or starts[0] != 0:
        return [line]
    return [Line(line.words[a:b]) for a, b in pairwise((*starts, len(line.words)))]


def _is_level(line: Line, word: Word, em: float) -> bool:
    """Say whether ``word`` is on ``line``, judging by its neighbour on the line."""
    near = min(line.words, key=lambda w: _gap_between(w.box, word.box))
    if is_tab(near, word) or is_tab(word, near):
        return False
    reach = 0.45 * min(max(near.box.height, 0.6 * em), max(word.box.height, 0.6 * em))
    apart = abs(near.box.middle - word.box.middle)
    over = near.box.across(word.box)
    return apart < reach and over < 0.5 * min(near.box.width, word.box.width) + 0.1


def _gap_between(one: Box, other: Box) -> float:
    return max(one.left - other.right, other.left - one.right, 0.0)


def line_cells(line: Line, em: float, edges: Sequence[float] = ()) -> tuple[list[Cell], bool]:
    """Return the cells of ``line``, and whether there is a leader between them.

    ``edges`` are positions where cells of other lines begin: there a smaller gap is enough.
    """
    groups: list[list[Word]] = [[]]
    led = False
    last: Word | None = None
    edges = edges if _is_set_close(line, em) else ()
    for at, word in enumerate(line.words):
        ranges = word.text == "\u2026" and _is_range(line.words[at - 1 : at + 2])
        if not ranges and (_ONLY_MARKS.fullmatch(word.text) or LEADER.fullmatch(word.text)):
            led = led or bool(groups[-1])
            groups += [[]] if groups[-1] else []
            last = word
            continue
        begins = last is not None and groups[-1] and _begins_cell(last, word, em, edges)
        if begins and not (len(groups) > 1 and _are_boxed(word, groups[-1][0])):
            groups.append([])
        groups[-1].append(word)
        last = word
    return [_made_cell(group) for group in groups if group], led


def _is_set_close(line: Line, em: float) -> bool:
    """Say whether the spaces of a line are narrow; those of a typewriter look like gaps."""
    gaps = (two.box.left - one.box.right for one, two in pairwise(line.words))
    near = sorted(gap for gap in gaps if gap < CELL_GAP * em)
    return len(near) < 2 or near[0] < _SPACE * em


def _are_boxed(word: Word, other: Word) -> bool:
    """Say whether both are positions that are ticked: the second is no cell."""
    return word.text[:1] in _BOXES and other.text[:1] in _BOXES


def _is_range(words: Sequence[Word]) -> bool:
    """Say whether dots between two numbers mean "to"."""
    return len(words) == 3 and words[0].text[-1:].isdigit() and words[2].text[:1].isdigit()


def bracketed_blanks(words: Iterable[Word], em: float) -> Iterator[Word]:
    """Yield the words of a page; empty brackets become blanks."""
    for line in word_lines(words, em):
        yield from _with_brackets(line.words, em)


def _with_brackets(words: Sequence[Word], em: float) -> Iterator[Word]:
    """Yield words; a pair of brackets around nothing but space becomes a blank."""
    held: Word | None = None
    for word in words:
        if held is not None:
            word = _with_closed(held, word, em)
            pair = held.text[-1:] + word.text[:1]
            first = held is words[0] and word is not words[-1]
            if (pair == "[]" or (pair == "()" and first)) and _is_tick(held, word, em):
                yield Word(_TICK_BOX, held.box.joined(word.box), min(held.sure, word.sure))
                held = None
                continue
            if pair in ("[]", "()", "<>") and word.box.left - held.box.right < 14 * em:
                text = f"{held.text[:-1]} {BLANK} {word.text[1:]}".strip()
                word = Word(text, held.box.joined(word.box), min(held.sure, word.sure), word.bold)
                held = None
            else:
                yield held
        held = None
        if word.text[-1:] in "[(<":
            held = word
        else:
            yield word
    if held is not None:
        yield held


def _with_closed(held: Word, word: Word, em: float) -> Word:
    """Return the word after an open bracket and room; a picture may show "]" as "J" or "1"."""
    room = word.box.left - held.box.right
    misread = word.sure < 1.0 and held.text[-1:] == "[" and word.text[:1] in _LIKE_BRACKETS
    if misread and _TICK * em < room < 14 * em:
        return replace(word, text=f"]{word.text[1:]}")
    return word


def _is_tick(one: Word, other: Word, em: float) -> bool:
    """Say whether two brackets are as near each other as those of a box to tick."""
    bare = one.text in "[(" and other.text in "])"
    return bare and other.box.left - one.box.right < _TICK * em


def _begins_cell(last: Word, word: Word, em: float, edges: Sequence[float]) -> bool:
    gap = word.box.left - last.box.right
    if word.ruled:
        return True
    if last.text.endswith((BLANK, "_")) and gap < _AFTER_BLANK * em:
        return gap > CELL_GAP * em and role_of(word.text) is not None
    if gap > CELL_GAP * em:
        return True
    return gap > _SPACE * em and any(abs(word.box.left - edge) < 0.3 * em for edge in edges)


def _made_cell(words: Sequence[Word]) -> Cell:
    text = " ".join(word.text for word in words)
    letters = [w.sure for w in words if any(c.isalnum() for c in w.text)]
    sure = min(letters, default=min(w.sure for w in words))  # not of a box to tick
    first = words[1] if len(words) > 1 and _LEADING.fullmatch(words[0].text) else words[0]
    return Cell(text, first.box.left, words[-1].box.right, sure)


def common_edges(lines: Iterable[Line], em: float) -> list[float]:
    """Return where the second cells of at least three lines, and a good part of all lines,
    begin.
    """
    starts: list[float] = []
    for line in lines:
        cells, _ = line_cells(line, em)
        first = cells[0].text if len(cells) > 2 else ""
        marked = role_of(first) is not None or 0 < len(first) <= 2  # "P1 Flaps UP", "1 Flaps UP"
        starts += [cell.left for cell in (cells[1:3] if marked else cells[1:2])]
    least = max(3, len(starts) * 0.35)
    return [s for s in starts if sum(abs(s - other) < 0.3 * em for other in starts) >= least]


def without_marks(cells: Sequence[Cell]) -> Sequence[Cell]:
    """Return the cells of a line without its number and its crew mark, if enough remain."""
    if len(cells) > 2 and COUNTS.fullmatch(cells[0].text.strip()):
        cells = cells[1:]
    ends = (cells[-1], cells[0]) if len(cells) > 2 else ()
    codes = [cell for cell in ends if _CODE.fullmatch(cell.text.strip())]
    if codes:
        return [cell for cell in cells if cell is not codes[0]]
    marks = [cell for cell in cells if role_of(cell.text) is not None]
    if len(cells) > 2 and marks:
        first = marks[0] if marks[0] is cells[0] else marks[-1]
        cells = [cell for cell in cells if cell is not first]
    return cells


_CREW: Final = frozenset({"PF", "PM", "PNF", "LHS", "RHS", "CAPT", "F/O", "P1", "P2", "CM1", "CM2"})
_BEFORE: Final = _CREW | {"BOTH", "CPT", "FO"}
"""The same where they stand first."""
_BARE_COUNT: Final = re.compile(r"\d{1,3}[.)]?")


def line_score(cells: Sequence[Cell]) -> float:
    """Return how much a line with these cells looks like one item."""
    cells = without_marks(cells)
    if len(cells) == 1 and _CODE.fullmatch(cells[0].text.strip()):
        return -0.5  # it was cut off from its line
    texts = [cell.text.strip() for cell in cells]
    counted = len(texts) == 2 and _BARE_COUNT.fullmatch(texts[0]) is not None
    counted = counted or (len(texts) == 2 and len(texts[0]) == 1 and texts[0].isupper())
    if counted or (len(texts) == 2 and (texts[0] in _BEFORE or texts[1] in _CREW)):
        return 0.0  # a number, or who answers, and one part
    halves = [split_text(cell.text) for cell in cells]
    if halves and all(half.response and not half.line for half in halves):
        return 1.0 if len(cells) == 1 else -0.2
    return {0: 0.0, 1: 0.0, 2: 1.0, 3: 0.4}.get(len(cells), -0.5)
