"""A share as it probably is, beside the share that was counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from callout.core.sentences import debriefs as sentences

_SELDOM = 0.01
_OFTEN = 0.4
"""From here on a share is told in tenths, below as one in so many."""
_STEPS = (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100)


@dataclass(frozen=True, slots=True)
class Likely:
    """A share of slips with its 95 % interval, shrunken where few runs have been seen."""

    share: float
    low: float
    high: float


def likely_words(likely: Likely) -> str:
    """Return "about 1 in 6 (7 to 33 %)"."""
    return f"{often(likely.share)} {likely_range(likely)}"


def likely_range(likely: Likely) -> str:
    """Return "(7 to 33 %)"."""
    return sentences.range_of(_percent(likely.low), _high(likely))


def often(share: float) -> str:
    """Return "about 1 in 6"."""
    if share < _SELDOM:
        return sentences.LESS_THAN_ONE_IN_A_HUNDRED
    if share >= _OFTEN:
        return sentences.so_many_in_ten(min(9, round(share * 10)))
    return sentences.one_in(min(_STEPS, key=lambda step: abs(1 / step - share)))


def _percent(share: float) -> str:
    return f"{share * 100:.0f}"


def _high(likely: Likely) -> str:
    """Return the upper end, never the same figure as the lower one."""
    low = round(likely.low * 100)
    return f"{max(low + 1, round(likely.high * 100))}"


class _Weighed(Protocol):
    @property
    def critical(self) -> bool: ...


One = TypeVar("One", bound=_Weighed)


def some_of_both(found: Sequence[One], most: int) -> list[One]:
    """Return the first ``most``, critical ones first, with room for others in the second half."""
    critical = [one for one in found if one.critical]
    others = [one for one in found if not one.critical]
    room = max((most + 1) // 2, most - len(others))
    return [*critical[:room], *others[: most - min(room, len(critical))]]
