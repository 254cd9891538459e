"""Divides a page into columns, and so decides the reading order of words.

A gap between challenge and response looks like a gap between columns. So every cut is tried, and
the cut that makes most lines a challenge and a response is used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Final

from callout.core.authoring.cut_lines import headed_tables, lines_across
from callout.core.authoring.lines import Line, line_cells, line_score, word_lines
from callout.core.authoring.splitting import split_text
from callout.core.paper.page import Word

_DEEPEST: Final = 2
"""Depth of nested cuts: up to four columns."""
_GAIN: Final = 2.0
"""Lines that a cut must gain, so that one accidental gap makes no columns."""
_MOST_CUTS: Final = 4
_FEWEST_LINES: Final = 8
_NARROWEST: Final = 8.0
"""Minimum width of a column, in letter heights."""
_BARE_COLUMN: Final = 4
"""Number of lines from which a column of single cells counts as part of a table."""
_MOSTLY: Final = 0.85
_FEWEST_APART: Final = 3


@dataclass(frozen=True, slots=True)
class Region:
    """Words to read from top to bottom; ``banner`` if they run across columns."""

    words: tuple[Word, ...]
    banner: bool = False


def read_regions(words: Sequence[Word], em: float, depth: int = 0) -> list[Region]:
    """Return ``words`` in reading order, column by column."""
    _, best = _best_cut(words, em, depth)
    if best is None:
        return [Region(tuple(words))]
    regions: list[Region] = []
    for band in best:
        if band.across is not None:
            regions.append(Region(tuple(band.across.words), banner=True))
        else:
            for side in (band.left, band.right):
                regions += read_regions(side, em, depth + 1) if side else []
    return regions


def cut_regions(
    words: Sequence[Word], em: float, *, harder: bool = False
) -> Iterator[list[Region]]:
    """Yield ``words`` as one column, and as columns between clear strips; more if ``harder``."""
    yield [Region(tuple(words))]
    whole = word_lines(words, em)
    places = sorted(_cut_places(words, whole, em)[: _MOST_CUTS + 3 * harder])
    for count in (1, 2, 3) if harder else (1, 2):
        for cuts in combinations(places, count):
            if _divides(whole, cuts[0], em):
                yield _at_cuts(whole, cuts, em)


def _divides(whole: Sequence[Line], cut: float, em: float) -> bool:
    """Say whether a few lines have words on both sides of ``cut`` that belong apart."""
    bands = [band for band in _cut_bands(whole, cut, em) if band.left and band.right]
    sides = [[len(word_lines(side, em)) for side in (b.left, b.right)] for b in bands]
    return sum(map(min, sides)) >= _FEWEST_APART


def _at_cuts(whole: Sequence[Line], cuts: Sequence[float], em: float) -> list[Region]:
    """Return the columns between ``cuts``; what runs across the first cut is a banner."""
    regions: list[Region] = []
    for band in _cut_bands(whole, cuts[0], em):
        if band.across is not None:
            regions.append(Region(tuple(band.across.words), banner=True))
            continue
        if band.left:
            regions.append(Region(tuple(band.left)))
        if band.right and len(cuts) > 1:
            regions += _at_cuts(word_lines(band.right, em), cuts[1:], em)
        elif band.right:
            regions.append(Region(tuple(band.right)))
    return regions


def _best_cut(words: Sequence[Word], em: float, depth: int) -> tuple[float, Sequence[_Band] | None]:
    """Return (score, bands) of the best cut, including further cuts; None if none gains enough."""
    whole = word_lines(words, em)
    best: Sequence[_Band] | None = None
    score = _side_score(whole, em) if depth else _pairs_score(whole, em)
    least = score + _GAIN
    tables = list(headed_tables(whole, em))
    for cut in _all_places(words, whole, em) if depth < _DEEPEST else ():
        if any(left < cut < right for left, right in tables):
            continue
        bands = _cut_bands(whole, cut, em)
        found = sum(_band_score(band, em, depth + 1) for band in bands)
        if found > least:
            best, score, least = bands, found, found
    return score, best


@dataclass(slots=True)
class _Band:
    """A line that runs across a cut, or the words on its two sides."""

    left: list[Word]
    right: list[Word]
    across: Line | None = None


def _all_places(words: Sequence[Word], whole: Sequence[Line], em: float) -> list[float]:
    """Return clear strips of the page, of its upper half and of its lower half."""
    places = _cut_places(words, whole, em)
    for half in (whole[: len(whole) // 2], whole[len(whole) // 2 :]):
        inside = [word for line in half for word in line.words]
        found = _cut_places(inside, half, em) if len(half) >= _FEWEST_LINES else []
        places += [at for at in found if all(abs(at - other) > 2 * em for other in places)]
    return places


def _cut_places(words: Sequence[Word], whole: Sequence[Line], em: float) -> list[float]:
    """Return where hardly any line has a word: the middles of clear strips."""
    if len(whole) < 4:
        return []
    left, right = min(w.box.left for w in words), max(w.box.right for w in words)
    step = em / 2
    count = int((right - left) / step)
    hits = [0] * (count + 1)
    for word in words:
        first = max(0, int((word.box.left - left) / step))
        for at in range(first, min(count, int((word.box.right - left) / step)) + 1):
            hits[at] += 1
    few = max(1, len(whole) // 4)
    clear = [at for at, hit in enumerate(hits) if hit <= few and hit <= _least_near(hits, at)]
    places = [left + (run[0] + run[-1] + 1) * step / 2 for run in _runs(clear)]
    return [p for p in places if p - left > _NARROWEST * em and right - p > _NARROWEST * em]


def _least_near(hits: Sequence[int], at: int) -> int:
    return min(hits[max(0, at - 3) : at + 4]) + 1


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def _cut_bands(whole: Sequence[Line], cut: float, em: float) -> list[_Band]:
    bands: list[_Band] = []
    edge = _right_edge(whole, cut, em)
    across = lines_across(whole, cut, em, edge)
    for line in whole:
        at = _overrun(line, cut, em, edge)
        if id(line) in across or (at is None and _runs_across(line, cut, em, edge)):
            bands.append(_Band([], [], line))
            continue
        if not bands or bands[-1].across is not None:
            bands.append(_Band([], []))
        for word in line.words:
            middle = (word.box.left + word.box.right) / 2
            side = bands[-1].left if middle < (at or cut) else bands[-1].right
            side.append(word)
    return bands


def _right_edge(whole: Sequence[Line], cut: float, em: float) -> float | None:
    """Return where most lines right of ``cut`` begin; None if they begin at different places."""
    sides = ([w.box.left for w in line.words if w.box.left >= cut - em / 4] for line in whole)
    starts = [min(side) for side in sides if side]

    def count(x: float) -> int:
        return sum(abs(x - start) < em / 4 for start in starts)

    best = max(starts, key=count, default=0.0)
    alike = count(best)
    return best if alike >= 3 and alike > len(starts) / 2 else None


def _overrun(line: Line, cut: float, em: float, edge: float | None) -> float | None:
    """Return where the column on the right begins, if a response runs over ``cut`` up to it.

    There is an item on both sides then.
    """
    if edge is None:
        return None
    over = any(word.box.left < cut < word.box.right for word in line.words)
    begins = edge - em / 4
    left = Line([word for word in line.words if word.box.left < begins])
    right = Line([word for word in line.words if word.box.left >= begins])
    if not (over and left.words and right.words) or right.words[0].box.left > edge + em / 4:
        return None
    clear = right.words[0].box.left - left.words[-1].box.right > 0.15 * em
    both = all(len(line_cells(side, em)[0]) > 1 for side in (left, right))
    return begins if clear and both else None


def _runs_across(line: Line, cut: float, em: float, edge: float | None) -> bool:
    """Say whether something that belongs together lies on both sides of ``cut``.

    ``edge`` is where the column on the right begins: there a smaller gap is enough.
    """
    ordered = sorted(line.words, key=lambda word: word.box.left)
    if any(word.box.left < cut - em / 4 and word.box.right > cut + em / 4 for word in ordered):
        return True
    for one, two in pairwise(ordered):
        if one.box.right <= cut + em / 4 and two.box.left >= cut - em / 4:
            least = 0.8 if edge is None or abs(two.box.left - edge) > em / 4 else 0.2
            return two.box.left - one.box.right < least * em
    return False


def _band_score(band: _Band, em: float, depth: int) -> float:
    if band.across is not None:
        return _pairs_score([band.across], em) * 0.5
    return sum(_best_cut(side, em, depth)[0] for side in (band.left, band.right) if side)


def _side_score(lines: Sequence[Line], em: float) -> float:
    """Return the score of one side of a cut: a column that only contains parts is not a column."""
    bare = sum(_is_bare(line, em) for line in lines)
    if len(lines) >= _BARE_COLUMN and bare > _MOSTLY * len(lines):
        return -float(len(lines))
    return _pairs_score(lines, em)


def _is_bare(line: Line, em: float) -> bool:
    cells = line_cells(line, em)[0]
    return len(cells) < 2 and not any(split_text(cell.text).response for cell in cells)


def _pairs_score(lines: Sequence[Line], em: float) -> float:
    """Return how many lines are a challenge and a response; crowded and bare lines count less."""
    return sum(line_score(line_cells(line, em)[0]) for line in lines)
