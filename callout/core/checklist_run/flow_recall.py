"""A flow from memory: which control is due, and what words say about it."""

from __future__ import annotations

from callout.core.checklist_run.state import Progress
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedControl, PlannedPanel
from callout.core.sentences import flow as sentences
from callout.core.understanding.control_names import without_name

EARLY = "early"
UNNAMED = "unnamed"
_HOLDERS = ("lever", "levers", "switch", "switches", "selector", "selectors", "handle", "knob")
"""What a control is, which nobody says when it is obvious. Common practice."""
_WHICH = sentences.SAY_CONTROL


def controls_of(progress: Progress) -> tuple[tuple[PlannedPanel, PlannedControl], ...]:
    """Return every control of the flow in order, with its panel."""
    return tuple((panel, one) for panel in progress.plan.flow for one in panel.controls)


def due_control(progress: Progress) -> tuple[PlannedPanel, PlannedControl] | None:
    """Return the control that comes next; None after the last."""
    left = controls_of(progress)[len(progress.controls) :]
    return left[0] if left else None


def weigh_control(progress: Progress, words: str, tables: Tables) -> Judgement:
    """Judge ``words`` against the control that is due: its position, or something else.

    A control that is named is judged only by its own position.
    """
    left = [one for _, one in controls_of(progress)[len(progress.controls) :]]
    named = [
        (one, rest)
        for one in left
        if (rest := without_name(_control_names(one), words)) is not None
    ]
    if not named:
        return Judgement(Verdict.UNCLEAR, UNNAMED, _WHICH)
    one, rest = min(named, key=lambda pair: (len(pair[1]), left.index(pair[0])))
    if one.control != left[0].control:
        return Judgement(Verdict.MISMATCH, EARLY, sentences.another_comes_first(one.control))
    expected = Expectation((parse_answer(one.position, tables),), challenge=one.control)
    return judge_reply(rest, expected, tables)


def recall_expected(progress: Progress, tables: Tables) -> Expectation:
    """Return what may be said next: the due control with its position; the other controls are
    wrong.
    """
    due = due_control(progress)
    if due is None:
        return Expectation(accepted=())
    panel, one = due
    others = [f"{o.control} {o.position}" for o in panel.controls if o.control != one.control]
    return Expectation(
        accepted=tuple(
            parse_answer(f"{name} {one.position}", tables) for name in _control_names(one)
        ),
        wrong=tuple(WrongReply(phrase(text)) for text in dict.fromkeys(others)),
    )


def _control_names(one: PlannedControl) -> tuple[str, ...]:
    return tuple(dict.fromkeys((one.control, *_short_names(one.control))))


def _short_names(control: str) -> tuple[str, ...]:
    said = control.split()
    if len(said) < 2 or said[-1].casefold() not in _HOLDERS:
        return ()
    short = " ".join(said[:-1])
    return (short, f"{short}s")
