"""Proofs that name something unknown, or prove something other than the reply."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from typing import Final

from callout.core.judging.parse_answer import parse_answer
from callout.core.language.quantities import quantity_key
from callout.core.lint.finding import Remark, Rule, Subject
from callout.core.model.checklist import Item
from callout.core.model.expectation import Words
from callout.core.model.flight import Flight
from callout.core.model.shapes import did_you_mean
from callout.core.model.state_quantity import Proof, StateQuantity
from callout.core.planning.proofs import REPLY
from callout.core.planning.templates import names_in
from callout.core.sentences import check_findings as sentences
from callout.core.sentences import check_rules, session


def _proofs(subject: Subject) -> Iterator[tuple[Proof, str]]:
    """Yield every proof of a list with the id of its item; the id is empty for a control of the
    flow.
    """
    yield from ((i.proof, i.id) for i in subject.checklist.items if i.proof)
    actions = (action for panel in subject.checklist.flow for action in panel.actions)
    yield from ((action.proof, "") for action in actions if action.proof)


def unknown_state(subject: Subject) -> Iterator[Remark]:
    """Names that belong to neither the aircraft, the flight nor the positions."""
    flight = subject.flight
    if flight is None:
        return
    for proof, item_id in _proofs(subject):
        names = names_in(proof.expression)
        watched = [name for name in names if name in flight.state]
        known = {*flight.state, *flight.quantities, *flight.named_texts}
        known |= {REPLY} | {
            quantity_key(p) for state in flight.state.values() for p in state.positions
        }
        lost = [name for name in names if name not in known]
        for name in lost:
            said = f'the aircraft has no state "{name}".'
            hint = did_you_mean(name, known) or sentences.unknown_state_hint(name)
            yield Remark(proof.line, said, hint, item_id)
        if not watched and not lost:
            said = "the proof looks at nothing that the aircraft tells."
            yield Remark(proof.line, said, sentences.NO_QUANTITY_HINT, item_id)


def unfit_position(subject: Subject) -> Iterator[Remark]:
    """Positions that the control does not have: never true, so every right reply is refused."""
    flight = subject.flight
    if flight is None:
        return
    for proof, item_id in _proofs(subject):
        for declared, word in _pairs(proof, flight):
            if word not in _positions(declared):
                said = f'the {declared.spoken_name} has no position "{word}".'
                hint = session.its_parts(", ".join(declared.positions))
                yield Remark(proof.line, said, hint, item_id)


def contrary_proof(subject: Subject) -> Iterator[Remark]:
    """A proof that asks for a position other than the reply's."""
    flight = subject.flight
    if flight is None:
        return
    for item in subject.checklist.items:
        simple = _equality(item.proof, flight) if item.proof else None
        if item.proof is None or simple is None:
            continue
        declared, word = simple
        others = {*_positions(declared)} - {word}
        said = next((state for state in _states(item, subject) if state in others), None)
        if said is not None and word in _positions(declared):
            fault = f'the reply is "{said}", and the proof asks for "{word}".'
            yield Remark(item.proof.line, fault, sentences.CONTRARY_PROOF_HINT, item.id)


def _equality(proof: Proof, flight: Flight) -> tuple[StateQuantity, str] | None:
    """Return what a proof of the form ``control == position`` compares."""
    top = ast.parse(proof.expression, mode="eval").body
    plain = isinstance(top, ast.Compare) and isinstance(top.ops[0], ast.Eq)
    return next(_pairs(proof, flight), None) if plain else None


def _states(item: Item, subject: Subject) -> Iterator[str]:
    for response in item.responses:
        if "{" not in response.text:
            parts = parse_answer(response.text, subject.tables).parts
            if len(parts) == 1 and isinstance(parts[0], Words):
                yield quantity_key(parts[0].text)


def _positions(declared: StateQuantity) -> list[str]:
    return [quantity_key(position) for position in declared.positions]


def _pairs(proof: Proof, flight: Flight) -> Iterator[tuple[StateQuantity, str]]:
    """Yield each switch with the position that it is compared with."""
    for node in ast.walk(ast.parse(proof.expression, mode="eval")):
        if not isinstance(node, ast.Compare) or len(node.comparators) != 1:
            continue
        left, right = node.left, node.comparators[0]
        for one, other in ((left, right), (right, left)):
            name = one.id if isinstance(one, ast.Name) else ""
            declared = flight.state.get(name)
            word = _word(other, flight)
            if declared is not None and not declared.number and word:
                yield declared, word


def _word(node: ast.expr, flight: Flight) -> str:
    """Return a position as written in a condition; empty for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int):
        return str(node.value)
    named = {REPLY, *flight.state, *flight.quantities, *flight.named_texts}
    return node.id if isinstance(node, ast.Name) and node.id not in named else ""


_COMMON: Final = "common practice: a cross-check is only as good as what it is checked against"

PROOF_RULES: Final[tuple[Rule, ...]] = (
    Rule(
        "unknown-state",
        check_rules.WHY_UNKNOWN_STATE,
        _COMMON,
        unknown_state,
    ),
    Rule(
        "unfit-position",
        check_rules.WHY_UNFIT_POSITION,
        _COMMON,
        unfit_position,
    ),
    Rule(
        "contrary-proof",
        check_rules.WHY_CONTRARY_PROOF,
        _COMMON,
        contrary_proof,
    ),
)
