"""Watches for a while whether what was set at a list stays set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from callout.core.planning.proofs import PlannedProof
from callout.core.state.board import Board
from callout.core.state.proving import Standing, found_about


@dataclass(frozen=True, slots=True)
class Kept:
    """One item that was set correctly."""

    item_id: str
    challenge: str
    proof: PlannedProof
    reply: str


def drifted_items(kept: Iterable[Kept], board: Board, now: float) -> list[tuple[Kept, str]]:
    """Return what has moved since, each with its state now."""
    seen = ((one, found_about(one.proof, board, now, one.reply)) for one in kept)
    return [(one, shown.told) for one, shown in seen if shown.standing is Standing.NOT_SET]
