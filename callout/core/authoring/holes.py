"""Room on a line that no letter explains: the reader of a photograph may have missed a blank there.

What is found is asked about, never taken for a blank.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from statistics import median
from typing import Final

from callout.core.authoring.lines import LEADER, Line, line_cells
from callout.core.paper.blanks import BLANK, goes_on, written_on
from callout.core.paper.page import Box, Cell, Page, Word

_ROOM: Final = 1.4
"""Clear space that a blank needs, in letter heights."""
_LONGEST: Final = 9.0
"""Clear space beyond which a line is simply laid out in another way."""
_FOOT: Final = 0.45
"""How far above the foot of a line a stroke may be, in letter heights."""
_FEWEST: Final = 4
"""Lines that begin or end at the same place, before that place means anything."""
_MOSTLY: Final = 0.6
"""Share of the lines that must do so."""


def lines_with_holes(lines: Sequence[Line], page: Page, em: float) -> set[int]:
    """Return the indices of ``lines`` on which a blank may have been missed."""
    found = {*_with_faint_strokes(lines, page, em), *_with_long_strokes(lines, page, em)}
    if _is_photo(lines):
        cells = [line_cells(line, em)[0] for line in lines]
        found |= set(_after_leaders(lines, em)) | set(_beside_edges(lines, cells, em))
    return found


def _is_photo(lines: Sequence[Line]) -> bool:
    return any(word.sure < 1.0 for line in lines for word in line.words)


def _with_faint_strokes(lines: Sequence[Line], page: Page, em: float) -> Iterator[int]:
    left = min(line.box.left for line in lines)
    right = max(line.box.right for line in lines) + _LONGEST * em
    for stroke in written_on(page, page.faint, em):
        if left <= stroke.left and stroke.right <= right and stroke.width < _LONGEST * em:
            yield from (at for at, line in enumerate(lines) if _is_at_foot(stroke, line, em))


def _is_at_foot(stroke: Box, line: Line, em: float) -> bool:
    """Say whether a stroke is where letters stand, and not on the edge of their row."""
    return -_FOOT * em < stroke.middle - line.box.bottom < 0.04 * em


def _with_long_strokes(lines: Sequence[Line], page: Page, em: float) -> Iterator[int]:
    """Yield lines with a stroke that begins under a word and goes on where no word is."""
    for stroke in page.strokes:
        if stroke.height > 0.35 * em or stroke.width > _LONGEST * em:
            continue
        for at, line in enumerate(lines):
            over = [w.box for w in line.words if _stands_on(w.box, stroke, em)]
            if over and line.box.middle < stroke.middle < line.box.bottom + 0.3 * em:
                ends = stroke.right - max(b.right for b in over)
                starts = min(b.left for b in over) - stroke.left
                if max(ends, starts) > _ROOM * em and not _is_ruled(stroke, page, em):
                    yield at


def _is_ruled(stroke: Box, page: Page, em: float) -> bool:
    """Say whether a stroke belongs to a table or a frame."""
    return any(goes_on(stroke, other, em) for other in page.strokes)


def _stands_on(box: Box, stroke: Box, em: float) -> bool:
    return box.across(stroke) > 0.3 * em


def _after_leaders(lines: Sequence[Line], em: float) -> Iterator[int]:
    """Yield lines whose response stands farther from its leader than others do."""
    gaps: dict[int, float] = {}
    for at, line in enumerate(lines):
        for one, two in pairwise(line.words):
            if _is_leader(one) and not _is_leader(two):
                gaps[at] = two.box.left - one.box.right
    if len(gaps) >= _FEWEST:
        usual = median(gaps.values())
        yield from (at for at, gap in gaps.items() if _ROOM * em < gap - usual < _LONGEST * em)


def _is_leader(word: Word) -> bool:
    return LEADER.fullmatch(word.text) is not None and BLANK not in word.text


def _beside_edges(
    lines: Sequence[Line], cells: Sequence[Sequence[Cell]], em: float
) -> Iterator[int]:
    """Yield lines whose response does not begin, or end, where those of most other lines do."""
    pairs = {at: found for at, found in enumerate(cells) if len(found) > 1}
    starts = {at: found[1].left for at, found in pairs.items()}
    ends = {at: lines[at].box.right for at in pairs}
    left, right = _common_place(starts.values(), em), _common_place(ends.values(), em)
    for at in pairs:
        late = left is not None and _ROOM * em < starts[at] - left < _LONGEST * em
        early = right is not None and _ROOM * em < right - ends[at] < _LONGEST * em
        if (late and right is None) or (early and left is None):
            yield at


def _common_place(places: Iterable[float], em: float) -> float | None:
    """Return where most of ``places`` are; None if they differ."""
    found = sorted(places)
    if len(found) < _FEWEST:
        return None
    best = max(found, key=lambda x: sum(abs(x - y) < em / 2 for y in found))
    alike = sum(abs(best - y) < em / 2 for y in found)
    return best if alike >= _MOSTLY * len(found) else None
