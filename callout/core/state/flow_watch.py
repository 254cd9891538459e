"""What the hands did in a flow, judged from the moves alone: nobody has to speak."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from callout.core.planning.plan import PlannedControl, PlannedItem, PlannedPanel
from callout.core.planning.proofs import PlannedProof
from callout.core.state.board import Board
from callout.core.state.proving import Standing, found_about


@dataclass(frozen=True, slots=True)
class HandMove:
    """One control that was moved during a flow."""

    name: str
    label: str
    panel: str
    was: str
    now: str
    at: float
    """Session time in seconds."""


@dataclass(frozen=True, slots=True)
class Hands:
    """The positions of the controls after a flow, and what else was moved."""

    missed: tuple[str, ...] = ()
    """Controls that are not where the flow puts them."""
    items: tuple[str, ...] = ()
    """Ids of the items about them."""
    mistaken: tuple[str, ...] = ()
    """Controls that were moved and left moved, but are not in the flow."""
    back: tuple[str, ...] = ()
    """Controls that were moved, and moved back."""
    unknown: tuple[str, ...] = ()
    """Controls of the flow whose state is unknown."""


def controls_of(panels: Iterable[PlannedPanel]) -> tuple[tuple[PlannedControl, PlannedProof], ...]:
    """Return the controls of a flow that the aircraft can report, with their proofs."""
    return tuple((c, c.proof) for panel in panels for c in panel.controls if c.proof)


def hands_in(
    panels: Sequence[PlannedPanel],
    items: Sequence[PlannedItem],
    moves: Sequence[HandMove],
    board: Board,
    now: float,
) -> Hands:
    """Return the result of a flow at session time ``now``."""
    controls = controls_of(panels)
    standings = [(c, proof, found_about(proof, board, now).standing) for c, proof in controls]
    missed = [(c, proof) for c, proof, standing in standings if standing is Standing.NOT_SET]
    about = {name for _, proof in missed for name in proof.watched}
    in_flow = {name for _, proof in controls for name in proof.watched}
    back = [m for m in _first_moves(moves) if _returned(m, moves)]
    gone = {m.name for m in back}
    return Hands(
        missed=tuple(c.control for c, _ in missed),
        items=tuple(i.id for i in items if i.applicable and i.proof and about & {*i.proof.watched}),
        mistaken=_labels(m for m in moves if m.name not in in_flow | gone),
        back=_labels(back),
        unknown=tuple(c.control for c, _, standing in standings if standing is Standing.UNKNOWN),
    )


def all_set(panels: Sequence[PlannedPanel], board: Board, now: float) -> bool:
    """Say whether every control of a flow is shown to be where the flow puts it."""
    every = [control for panel in panels for control in panel.controls]
    shown = (found_about(c.proof, board, now).standing is Standing.SET for c in every)
    return bool(every) and all(shown)


def way_of(panels: Sequence[PlannedPanel], moves: Sequence[HandMove]) -> tuple[str, ...]:
    """Return the panels in the order in which the hands reached them."""
    homes = {name: p.panel for p in panels for _, q in controls_of([p]) for name in q.watched}
    visited = [homes.get(m.name, m.panel) for m in moves]
    return tuple(p for n, p in enumerate(visited) if p and (n == 0 or visited[n - 1] != p))


def _first_moves(moves: Sequence[HandMove]) -> list[HandMove]:
    return list({m.name: m for m in reversed(moves)}.values())[::-1]


def _returned(first: HandMove, moves: Sequence[HandMove]) -> bool:
    return [m.now for m in moves if m.name == first.name][-1] == first.was


def _labels(moves: Iterable[HandMove]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(m.label for m in moves))
