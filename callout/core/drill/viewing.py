"""The screen of a drill: what comes next stays hidden, since it may be the answer."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run import wording
from callout.core.checklist_run.on_screen_controls import offered_controls
from callout.core.conversation.view_model import (
    Control,
    Doing,
    Row,
    Status,
    Trouble,
    ViewModel,
    doing_now,
)
from callout.core.conversation.withholding import Reveal
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.state import DrillProgress, DrillState, Tally
from callout.core.model.commands import Command
from callout.core.sentences import drill as sentences

TASKS = {
    Mode.CHALLENGE: sentences.REPLY_TO_CHALLENGE,
    Mode.NEXT_ITEM: sentences.SAY_NEXT_ITEM,
    Mode.OUT_OF_CONTEXT: sentences.REPLY_TO_CHALLENGE,
    Mode.WRONG_STATE: sentences.RIGHT_OR_WRONG,
}
_ASKING = {
    Command.SAY_AGAIN: "say again",
    Command.HOLD: "hold",
    Command.SKIP: "skip",
    Command.QUIET: "quiet",
    Command.HELP: "help",
    Command.STOP: "stop",
}
_HELD = {Command.CONTINUE: "continue", Command.STOP: "stop"}
FOLLOWS = sentences.WHAT_SHOULD_IT_BE
_HINTS = {Command.HOLD: "hold", Command.SKIP: "skip", Command.HELP: "help",
          Command.STOP: "stop"}  # fmt: skip


def view_of_drill(state: DrillState) -> ViewModel:
    """Return the screen for ``state``."""
    progress, moment = state.progress, state.moment
    exercise = progress.exercise
    rows = _exercise_rows(progress, told=state.context.pacing.reveal is not Reveal.NEVER)
    return ViewModel(
        title=f"Drill, {_time_left(progress)} left",
        rows=rows,
        current=next((n for n, r in enumerate(rows) if r.status is Status.CURRENT), None),
        section=exercise.title if exercise else "",
        challenge=_shown_challenge(progress),
        question=exercise is None or exercise.mode is Mode.WRONG_STATE or progress.follows,
        critical=bool(exercise and exercise.critical),
        notes=_shown_notes(progress),
        doing=_what_doing(state),
        heard=moment.heard.words if moment.heard else "",
        heard_from=moment.heard.source if moment.heard else None,
        heard_sure=moment.heard.sure if moment.heard else True,
        verdict=moment.verdict,
        settled=moment.verdict is not None and not (progress.follows or _has_reply(progress)),
        sentence=moment.sentence,
        lines=moment.lines,
        done=progress.settled,
        total=len(progress.exercises),
        quiet=progress.quiet,
        pace=progress.pace,
        hearing=state.context.hearing,
        hints=() if progress.over else _key_hints(state),
        controls=_offered_controls(state),
        answers=_answer_labels(state),
        troubles=tuple(Trouble(part, message) for part, message in moment.shown_troubles),
        unit="exercise",
    )


def task_words(progress: DrillProgress) -> str:
    """Return what the person has to do."""
    exercise = progress.exercise
    if exercise is None:
        return ""
    return FOLLOWS if progress.follows else TASKS[exercise.mode]


def _shown_challenge(progress: DrillProgress) -> str:
    exercise = progress.exercise
    if progress.over:
        return "Drill over"
    if progress.held:
        return "Holding"
    if exercise is None:
        return ""
    return f"{exercise.name} should be" if progress.follows else exercise.prompt


def _shown_notes(progress: DrillProgress) -> tuple[str, ...]:
    exercise = progress.exercise
    if exercise is None or progress.held:
        return ()
    flight = (sentences.flight_value(exercise.flight),) if exercise.flight else ()
    return (*flight, f"{exercise.title}. {task_words(progress)}")


def _has_reply(progress: DrillProgress) -> bool:
    """Say whether the open exercise has had a reply."""
    return bool(progress.tally.wrong or progress.tally.unclear)


def _exercise_rows(progress: DrillProgress, *, told: bool) -> tuple[Row, ...]:
    """Return what is settled, what is being asked, and blanks for what is to come."""
    pairs = enumerate(zip(progress.exercises, progress.tallies, strict=True))
    settled = [
        _exercise_row(progress, n, exercise, tally, told=told)
        for n, (exercise, tally) in pairs
        if (tally.grades or tally.left) and n != progress.current
    ]
    exercise = progress.exercise
    now = [Row(exercise.key.item_id, 0, exercise.prompt, Status.CURRENT, "", exercise.critical)
           for exercise in ([exercise] if exercise else [])]  # fmt: skip
    rest = len(progress.exercises) - len(settled) - len(now)
    blank = [Row("", 0, "to come", Status.PENDING)] * (0 if progress.over else rest)
    rows = enumerate((*settled, *now, *blank), 1)
    return tuple(replace(row, number=number) for number, row in rows)


def _exercise_row(
    progress: DrillProgress, number: int, exercise: Exercise, tally: Tally, *, told: bool
) -> Row:
    again = number in progress.waiting  # its answer would spoil it
    wrong = again or bool(tally.grades and tally.grades[-1] is Grade.MISSED)
    hidden = again or exercise.mode is Mode.NEXT_ITEM or (wrong and not told)
    status = Status.DUE if wrong else Status.ANSWERED if tally.grades else Status.SKIPPED
    return Row(
        item_id=exercise.key.item_id,
        number=0,
        challenge=f"{exercise.title}, {exercise.name}",
        status=status,
        note="" if hidden else exercise.answer,
        critical=exercise.critical,
    )


def _time_left(progress: DrillProgress) -> str:
    left = progress.seconds_left(progress.at)
    return f"{left / 60:.0f} min" if left >= 60 else f"{left:.0f} s"


def _what_doing(state: DrillState) -> Doing:
    progress = state.progress
    deaf = any(part == "hearing" for part, _ in state.moment.troubles)
    return doing_now(
        ended=bool(progress.over or progress.suspended),
        held=bool(progress.held),
        speaking=bool(state.moment.speaking),
        hears=state.context.hears and not deaf,
    )


def _offered_controls(state: DrillState) -> tuple[Control, ...]:
    progress = state.progress
    if progress.over or progress.suspended:
        return ()
    offered = _HELD if progress.held else _ASKING
    return offered_controls(state.context.commands, offered, progress.quiet)


def _answer_labels(state: DrillState) -> tuple[str, ...]:
    """Return the answers that touch can give without giving anything away."""
    progress = state.progress
    exercise = progress.exercise
    if exercise is None or progress.held:
        return ()
    unknown = state.context.commands.answers.get("unknown", ())[:1]
    choose = exercise.mode is Mode.WRONG_STATE and not progress.follows
    return (*(("right", "wrong") if choose else ()), *unknown)


def _key_hints(state: DrillState) -> tuple[tuple[str, str], ...]:
    table = state.context.commands
    words = {Command.CONTINUE: "continue"} if state.progress.held else {}
    entries = ((table.entry(c), said) for c, said in {**words, **_HINTS}.items())
    return tuple((wording.key_name(e.keys[-1]), said) for e, said in entries if e.keys)
