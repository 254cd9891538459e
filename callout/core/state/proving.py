"""Compares what is set with what is said: a proof is checked against the state of the aircraft."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from callout.core.language.quantities import Quantity, is_true
from callout.core.planning.proofs import REPLY, PlannedProof, names_for, position_value
from callout.core.planning.templates import names_in
from callout.core.sentences import aircraft as sentences
from callout.core.state.board import Board, Shown, shown_value
from callout.errors import CalloutError


class Standing(Enum):
    """What the aircraft shows about an item."""

    UNWATCHED = "unwatched"
    """Nothing to check: no proof, or no stream is in use."""
    SET = "set"
    NOT_SET = "not-set"
    UNKNOWN = "unknown"
    """Stale, missing or doubtful: only speech counts."""


@dataclass(frozen=True, slots=True)
class Found:
    """What was found out about one item."""

    standing: Standing = Standing.UNWATCHED
    told: str = ""
    """What contradicts it ("the beacon is off"), what supports it, or why nothing is known."""


UNWATCHED = Found()


def found_about(
    proof: PlannedProof | None, board: Board | None, now: float, reply: str = ""
) -> Found:
    """Return what ``board`` shows about an item at session time ``now``.

    board: None if no stream is in use. reply: the right reply as said, for proofs that refer to it.
    """
    if proof is None or board is None:
        return UNWATCHED
    if proof.unknown:
        names = ", ".join(name.replace("_", " ") for name in proof.unknown)
        return Found(Standing.UNKNOWN, sentences.figures_unknown(names))
    age = board.age(now)
    if age is None:
        return Found(Standing.UNKNOWN, sentences.NO_STATE_YET)
    if age > proof.age_s:
        return Found(Standing.UNKNOWN, sentences.state_is_old(age))
    lacking = [w.label for name, w in proof.watched.items() if name not in board.values]
    if lacking:
        return Found(Standing.UNKNOWN, sentences.no_state_of(" and the ".join(lacking)))
    if REPLY in names_in(proof.expression) and not reply:
        return Found(Standing.UNKNOWN, sentences.DEPENDS_ON_REPLY)
    return _compared(proof, board, reply)


def _compared(proof: PlannedProof, board: Board, reply: str) -> Found:
    names = {**names_for(proof), REPLY: position_value(reply)}
    names |= {name: _value(board.values[name], w.unit) for name, w in proof.watched.items()}
    try:
        if is_true(proof.expression, names, proof.tolerance):
            return Found(Standing.SET, _told(proof, board, proof.watched))
        wrong = _at_fault(proof, names)
    except CalloutError as error:
        return Found(Standing.UNKNOWN, error.message)
    return Found(Standing.NOT_SET, _told(proof, board, wrong or proof.watched))


def _value(value: Shown, unit: str | None) -> Quantity | str:
    return Quantity(value, unit) if isinstance(value, Decimal) else position_value(value)


def _at_fault(proof: PlannedProof, names: dict[str, Quantity | str]) -> list[str]:
    """Return the quantities in those parts of an ``and`` that are not true."""
    top = ast.parse(proof.expression, mode="eval").body
    parts = [top]
    if isinstance(top, ast.BoolOp) and isinstance(top.op, ast.And):
        parts = top.values
    texts = [ast.unparse(part) for part in parts]
    false = [text for text in texts if not is_true(text, names, proof.tolerance)]
    named = [name for text in false for name in names_in(text)]
    return [name for name in dict.fromkeys(named) if name in proof.watched]


def _told(proof: PlannedProof, board: Board, names: Iterable[str]) -> str:
    pairs = [(proof.watched[name], board.values[name]) for name in names]
    return ", ".join(sentences.position_of(w.label, shown_value(v, w.unit)) for w, v in pairs)
