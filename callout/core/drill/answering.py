"""Puts exercises, judges the replies, and grades the result."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.conversation.withholding import Reveal, told_reason
from callout.core.drill import records as d
from callout.core.drill.controlling import take_command
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Mode
from callout.core.drill.putting import (
    grade_exercise,
    in_words,
    leave_exercise,
    put_exercise,
    tell_answer,
)
from callout.core.drill.turn import DrillTurn, expected_now
from callout.core.judging.judge import judge_reply
from callout.core.language.reasons import Reason
from callout.core.model.commands import find_answer
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import conversation
from callout.core.sentences import drill as sentences
from callout.core.understanding.hearing_verdict import command_in, weigh_utterance

MOST_WRONG = 2
"""Wrong replies before the answer is revealed."""
CALM_AFTER = 2
"""Unclear replies after which the keyboard is suggested."""
MOST_UNCLEAR = 5
"""Unclear replies before an exercise is dropped: that is the recogniser's fault, not the
person's.
"""


def take_utterance(turn: DrillTurn, said: Utterance, began: float | None) -> None:
    """Handle one utterance in reply to the current question."""
    if turn.progress.held:
        found = command_in(said, turn.context.commands) if said.sure else None
        if found:
            take_command(turn, found, said)
        elif said.source is ReplySource.KEYBOARD:
            turn.note(sentences.HOLDING)
        return
    exercise = turn.progress.exercise
    if exercise is None:
        return
    tables, commands = turn.context.tables, turn.context.commands
    expected = expected_now(turn.progress)
    weighed = weigh_utterance(
        said, expected, lambda words: judge_reply(words, expected, tables), commands
    )
    other = said.sure and not weighed.listed
    if weighed.command:
        take_command(turn, weighed.command, said)
    elif other and find_answer(said.text, commands, ("unknown",)):
        turn.cut()
        turn.set(heard=said, verdict=None)
        tell_answer(turn)
    elif weighed.remark:
        _note_remark(turn, said)
    else:
        _settle_reply(turn, said, weighed.judged, began)


def _note_remark(turn: DrillTurn, said: Utterance) -> None:
    turn.record(d.DrillRemarked(utterance=said))
    turn.set(heard=said, verdict=None, sentence=conversation.SIDE_REMARK)
    turn.news(conversation.after_side_remark(wording.heard_line(said)))


def _settle_reply(turn: DrillTurn, said: Utterance, judged: Judgement, began: float | None) -> None:
    follows = turn.progress.follows
    seconds = turn.moment.seconds_to(turn.stamp.at if began is None else began)
    turn.record(
        d.ExerciseAnswered(
            exercise=turn.number,
            utterance=said,
            verdict=judged.verdict,
            code=judged.code,
            reason=judged.reason,
            reply=judged.reply,
            seconds=seconds,
            follows=follows,
        )
    )
    turn.cut()
    turn.tone(judged.verdict)
    turn.set(heard=said, verdict=judged.verdict, lines=())
    match judged.verdict:
        case Verdict.MATCH:
            _reply_matched(turn, seconds)
        case Verdict.MISMATCH:
            _reply_mismatched(turn, said, judged)
        case Verdict.UNCLEAR:
            _reply_unclear(turn, said, judged)


def _reply_matched(turn: DrillTurn, seconds: float | None) -> None:
    exercise = turn.progress.exercise
    assert exercise is not None
    if turn.progress.follows:
        turn.news(sentences.CORRECTLY_REFUSED)
        put_exercise(turn, sentences.CORRECTLY_REFUSED)
        return
    pacing, tally = turn.context.pacing, turn.progress.tally
    glance = exercise.mode in (Mode.CHALLENGE, Mode.OUT_OF_CONTEXT) and not exercise.flight
    fast = glance and seconds is not None and seconds < pacing.glance_s
    slow = seconds is not None and seconds > pacing.slow_s
    mark = sentences.TOO_FAST if fast else " Slow." if slow else ""
    how = Grade.MISSED if tally.wrong else Grade.DOUBTFUL if fast or slow else Grade.RIGHT
    grade_exercise(turn, how, f"Right. {in_words(exercise)}{mark}", exercise)


def _reply_mismatched(turn: DrillTurn, said: Utterance, judged: Judgement) -> None:
    """Say that it was wrong; reveal the right reply only after a second wrong one."""
    exercise = turn.progress.exercise
    assert exercise is not None
    tells = _reveal_now(turn) is Reveal.ALWAYS
    sentence = f"{wording.heard_line(said)} {told_reason(judged, tells=tells)}"
    if exercise.mode is Mode.NEXT_ITEM and judged.code == Reason.NAMED_WRONG:
        sentence = f"Not {judged.reason.replace(' is wrong here: ', ': ')}"
    turn.news(f"Mismatch. {sentence}")
    if turn.progress.tally.wrong >= MOST_WRONG:
        tell_answer(turn, sentence)
    else:
        put_exercise(turn, sentence, sentences.ONCE_MORE)


def _reveal_now(turn: DrillTurn) -> Reveal:
    return turn.context.pacing.reveal or Reveal.AFTER_SECOND


def _reply_unclear(turn: DrillTurn, said: Utterance, judged: Judgement) -> None:
    reason = told_reason(judged, tells=_reveal_now(turn) is Reveal.ALWAYS)
    turn.news(f"Unclear. {wording.heard_line(said)} {reason}")
    count = turn.progress.tally.unclear
    if count >= MOST_UNCLEAR:
        leave_exercise(turn, sentences.NOT_UNDERSTOOD)
    elif count > CALM_AFTER:
        turn.time_anew()
        turn.tell(sentences.STILL_NOT_UNDERSTOOD)
    elif count == CALM_AFTER:
        put_exercise(turn, sentences.or_type_it(reason))
    else:
        put_exercise(turn, reason)
