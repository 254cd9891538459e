"""Numbers that differ from the expected ones, down to the digit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from callout.core.judging.pattern import Pattern
from callout.core.judging.refusal_context import (
    RefusalContext,
    mismatch_judgement,
    unclear_judgement,
)
from callout.core.judging.runs import WordRun, runs_in
from callout.core.language import values
from callout.core.language.digits import digit_difference, heard_number
from callout.core.language.figures import digits_of, shown_number
from callout.core.language.reasons import Reason
from callout.core.language.units import likely_unit
from callout.core.language.units import smallest_step as step_of
from callout.core.model.expectation import Value
from callout.core.model.verdict import Judgement
from callout.core.sentences import judging as sentences

_TELLING = (
    Reason.NUMBER_GARBLED, Reason.UNIT_MISSING, Reason.WRONG_SIGN, Reason.DIGIT_CHANGED,
    Reason.DIGITS_SWAPPED,
    Reason.DIGIT_DROPPED, Reason.DIGIT_ADDED, Reason.WRONG_UNIT, Reason.PARTIAL,
    Reason.WRONG_NUMBER,
)  # fmt: skip
"""Which finding to report when several accepted values were missed: the nearest slip first."""


_POINT = "decimal"
_DIGITS = {
    "0": "zero", "1": "one", "2": "two", "3": "three", "4": "four", "5": "five", "6": "six",
    "7": "seven", "8": "eight", "9": "nine", "-": "minus",
}  # fmt: skip


def wrong_numbers(scene: RefusalContext) -> Judgement | None:
    """Compare the numbers said with the expected ones and return the nearest slip."""
    wanted = [p for p in scene.accepted if p.values]
    runs = runs_in(scene.tokens, scene.tables) if wanted else []
    garbled = unclear_judgement(Reason.NUMBER_GARBLED, sentences.number_unclear(scene.due))
    if not runs:
        hard = any(t.piece and not t.piece.soft for t in scene.tokens)
        return garbled if wanted and hard else None
    if not _just_numbers(runs, scene):
        return None
    if _left_over(runs, scene):
        return garbled
    if _run_together(runs) and all(len(p.values) != len(runs) for p in wanted):
        return garbled
    found = [f for p in wanted if (f := _judge_runs(p, runs, scene)) is not None]
    return min(found, key=lambda f: _TELLING.index(Reason(f.code)), default=None)


def _just_numbers(runs: list[WordRun], scene: RefusalContext) -> bool:
    """True when everything beside the numbers consists of words that replies contain."""
    inside = {i for run in runs for i in range(run.start, run.after)}
    content = scene.content()
    return all(
        i in inside or token not in content or scene.explained(token)
        for i, token in enumerate(scene.tokens)
    )


def _left_over(runs: list[WordRun], scene: RefusalContext) -> bool:
    """True when a number word belongs to no number."""
    inside = {i for run in runs for i in range(run.start, run.after)}
    hard = (i for i, t in enumerate(scene.tokens) if t.piece and not t.piece.soft)
    return any(i not in inside for i in hard)


def _run_together(runs: list[WordRun]) -> bool:
    """True when adjacent number words do not form one number."""
    return any(a.after == b.start for a, b in pairwise(runs))


def _judge_runs(pattern: Pattern, runs: list[WordRun], scene: RefusalContext) -> Judgement | None:
    missing = len(pattern.values) - len(runs)
    if missing > 0:
        right = all(any(values.same_number(v, r.reading) for v in pattern.values) for r in runs)
        if right or missing > 1:
            return unclear_judgement(Reason.PARTIAL, sentences.part_missing(scene.due))
    pairs = zip(pattern.values, runs, strict=False)
    return next(
        (f for value, run in pairs if (f := _judge_value(value, run, scene)) is not None), None
    )


def _judge_value(value: Value, run: WordRun, scene: RefusalContext) -> Judgement | None:
    outcome = values.fit_value(value, run.reading, run.unit, scene.tables)
    if outcome is values.Fit.SAME:
        return None
    if outcome is values.Fit.UNIT_MISSING:
        unit = _unit_problem(value.unit, scene, "the unit")
        text = _value_sentence(value, f"say the unit as well: {shown_number(value)} {unit}")
        return unclear_judgement(Reason.UNIT_MISSING, text)
    if outcome is values.Fit.WRONG_UNIT or values.same_number(value, run.reading):
        due = _unit_problem(likely_unit(value), scene, "no unit")
        heard = _unit_problem(run.unit, scene, "another form")
        text = _value_sentence(value, f"heard {heard}, expected {due}")
        return mismatch_judgement(Reason.WRONG_UNIT, text, "unit")
    if heard_number(run.reading, value) == shown_number(value):
        text = _value_sentence(
            value, f"the digits are right; say them one by one: {_digit_words(value)}"
        )
        return unclear_judgement(Reason.NUMBER_GARBLED, text, "another way of saying it")
    code, detail = min(
        (digit_difference(v, run.reading) for v in _in_each_unit(value, run, scene)),
        key=lambda found: _TELLING.index(found[0]),
    )
    why = f"{run.reading.digits} is not {digits_of(value)}"
    return mismatch_judgement(code, _value_sentence(value, detail), why)


def _digit_words(value: Value) -> str:
    words = (_POINT if c == "." else _DIGITS.get(c, c) for c in shown_number(value))
    return " ".join(words)


def _in_each_unit(value: Value, run: WordRun, scene: RefusalContext) -> Iterator[Value]:
    """Yield the value in each unit that the number may have been meant in."""
    if run.unit in (None, value.unit):
        yield value
    for unit in value.other_units:
        other = values.in_unit(value, unit, scene.tables) if run.unit in (None, unit) else None
        if other is not None:
            step = step_of(unit, scene.tables)
            yield replace(other, number=other.number.quantize(step))
    yield value


def _unit_problem(unit: str | None, scene: RefusalContext, otherwise: str) -> str:
    known = scene.tables.units.get(unit or "")
    return known.says if known else otherwise


def _value_sentence(value: Value, text: str) -> str:
    named = f"{value.name}: {text}" if value.name else text
    return named[:1].upper() + named[1:] + "."
