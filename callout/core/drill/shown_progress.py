"""What a person's drills show: progress, whether predictions came true, whether drills help."""

from __future__ import annotations

from collections.abc import Sequence

from callout.core.drill.evidence import Review
from callout.core.drill.history import Done, calibration_lines, progress_lines
from callout.core.drill.waiting_items import Drawn, lot_outcome, outcome_lines


def what_was_learnt(
    drills: Sequence[Done], lots: Sequence[Drawn], reviews: Sequence[Review]
) -> list[str]:
    """Return whether predictions came true, and drilled items beside those left to wait."""
    return [*calibration_lines(drills), *outcome_lines(lot_outcome(lots, reviews))]


def drills_so_far(
    drills: Sequence[Done], lots: Sequence[Drawn], reviews: Sequence[Review]
) -> list[str]:
    """Return that and the progress from drill to drill."""
    return [*progress_lines(drills), *what_was_learnt(drills, lots, reviews)]
