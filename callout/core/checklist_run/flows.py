"""Flows: timed in silence, prompted panel by panel, or asked for from memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import advance_list, repeat_question
from callout.core.checklist_run.causes import Choice, Question
from callout.core.checklist_run.flow_recall import EARLY, UNNAMED, due_control, weigh_control
from callout.core.checklist_run.flow_stages import mode_of, past_of, stage_passed, told_stage
from callout.core.checklist_run.flow_wording import next_panel, not_at_rest, panel_expected
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import FlowMode
from callout.core.judging.judge import judge_reply
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict
from callout.core.sentences import aircraft
from callout.core.sentences import flow as sentences
from callout.core.state.board import Move, shown_value
from callout.core.state.flow_watch import all_set, controls_of, hands_in

MOST_MISSES = 2
"""Wrong panels named before the tool reveals the right one."""


def flow_step(turn: Turn, choice: Choice, utterance: Utterance | None) -> None:
    """Handle "done", or "do not know" if panels are asked from memory."""
    mode = mode_of(turn.context, turn.progress)
    panel = next_panel(turn.progress)
    if mode in (FlowMode.SILENT, FlowMode.CLOCK) or panel is None:
        _flow_done(turn, utterance, "")
    elif mode in (FlowMode.PROMPT, FlowMode.READ):
        _panel_done(turn, utterance)
    elif mode is FlowMode.RECALL:
        _tell_control(turn, utterance if choice is Choice.UNKNOWN else None)
    elif choice is Choice.UNKNOWN:
        _panel_done(turn, utterance, sentences.panel_is(panel.panel, not_at_rest(panel)), told=True)
    else:
        repeat_question(turn)


def recall_control(turn: Turn, utterance: Utterance) -> None:
    """Judge a control and its position recited from memory."""
    due = due_control(turn.progress)
    if due is None:
        _flow_done(turn, utterance, "")
        return
    panel, control = due
    judged = weigh_control(turn.progress, utterance.text, turn.context.tables)
    verdict = judged.verdict if utterance.sure else Verdict.UNCLEAR
    turn.record(
        r.ControlRecalled(
            panel=panel.panel, control=control.control, verdict=verdict, utterance=utterance
        )
    )
    turn.tone(verdict)
    turn.set(verdict=verdict)
    heard = wording.heard_line(utterance)
    if verdict is Verdict.MATCH:
        _next_control(turn, utterance, "Right.")
    elif verdict is Verdict.MISMATCH and turn.progress.flow_misses >= MOST_MISSES:
        _tell_control(turn, utterance, sentences.heard_no(heard))
    else:
        early = judged.code in (EARLY, UNNAMED) and utterance.sure
        no = judged.reason if early else "No." if verdict is Verdict.MISMATCH else ""
        said = f"{heard} {no}".strip()
        turn.news(said)
        repeat_question(turn, said)
        turn.set(sentence=said)


def _tell_control(turn: Turn, utterance: Utterance | None, *lead: str) -> None:
    due = due_control(turn.progress)
    if due is None:
        _flow_done(turn, utterance, "")
        return
    panel, control = due
    turn.record(
        r.ControlRecalled(
            panel=panel.panel, control=control.control, verdict=Verdict.UNCLEAR, told=True
        )
    )
    why = f" {control.why}" if control.why else ""
    said = sentences.control_is(control.control, control.position, why)
    _next_control(turn, utterance, " ".join((*lead, said)))


def _next_control(turn: Turn, utterance: Utterance | None, said: str) -> None:
    turn.news(said)
    if due_control(turn.progress) is None:
        _flow_done(turn, utterance, sentences.panel_flow_done(said))
    else:
        repeat_question(turn, said)
        turn.set(sentence=said)


def recall_panel(turn: Turn, utterance: Utterance) -> None:
    """Judge a panel named from memory."""
    panel = next_panel(turn.progress)
    if panel is None:
        _flow_done(turn, utterance, "")
        return
    judged = judge_reply(utterance.text, panel_expected(turn.progress), turn.context.tables)
    verdict = judged.verdict if utterance.sure else Verdict.UNCLEAR
    turn.record(r.PanelNamed(panel=panel.panel, utterance=utterance, verdict=verdict))
    turn.tone(verdict)
    turn.set(verdict=verdict)
    heard = wording.heard_line(utterance)
    if verdict is Verdict.MATCH:
        _panel_done(turn, utterance, f"Right.{not_at_rest(panel)}")
    elif verdict is Verdict.UNCLEAR:
        repeat_question(turn, heard)
    elif turn.progress.flow_misses >= MOST_MISSES:
        said = sentences.no_panel_is(heard, panel.panel, not_at_rest(panel))
        _panel_done(turn, utterance, said, told=True)
    else:
        repeat_question(turn, sentences.heard_no(heard))
        turn.set(sentence=sentences.panel_out_of_order(heard))


def _panel_done(
    turn: Turn, utterance: Utterance | None, said: str = "", *, told: bool = False
) -> None:
    panel = next_panel(turn.progress)
    assert panel
    seconds = max(0.0, turn.stamp.at - turn.progress.panel_began)
    turn.record(r.PanelDone(panel=panel.panel, seconds=round(seconds, 3), told=told))
    turn.news(said)
    if next_panel(turn.progress) is None:
        _flow_done(turn, utterance, sentences.panel_flow_done(said).strip())
    else:
        repeat_question(turn, said)
        turn.set(sentence=f"{said} {turn.moment.sentence}".strip())


def hands_moved(turn: Turn, moves: Sequence[Move]) -> None:
    """Record the controls moved in the flow; the flow ends once all are seen to be set."""
    plan = turn.progress.plan
    watched = {name for _, proof in controls_of(plan.flow) for name in proof.watched}
    for move in moves:
        if isinstance(move.now, str) or move.name in watched:
            turn.record(
                r.ControlMoved(
                    control=move.name,
                    was=shown_value(move.was),
                    now=shown_value(move.now),
                    label=move.label,
                    panel=move.panel,
                )
            )
    silent = mode_of(turn.context, turn.progress) in (FlowMode.SILENT, FlowMode.CLOCK)
    if silent and turn.progress.hands and all_set(plan.flow, turn.board, turn.stamp.at):
        turn.cut()
        _flow_done(turn, None, aircraft.ALL_IS_SET)


def _looked_at(turn: Turn) -> str:
    """Record the positions of the controls at the end of the flow; return what was missed."""
    progress = turn.progress
    if not turn.context.watches or not controls_of(progress.plan.flow):
        return ""
    plan = progress.plan
    seen = hands_in(plan.flow, plan.items, progress.hands, turn.board, turn.stamp.at)
    turn.record(
        r.FlowSeen(
            missed=seen.missed,
            first=seen.items,
            mistaken=seen.mistaken,
            back=seen.back,
            unknown=seen.unknown,
        )
    )
    missed = aircraft.flow_missed(wording.spoken_names(seen.missed)) if seen.missed else ""
    turn.news(
        missed,
        aircraft.flow_extra(wording.spoken_names(seen.mistaken)) if seen.mistaken else "",
        aircraft.flow_undone(wording.spoken_names(seen.back)) if seen.back else "",
        aircraft.flow_unseen(wording.spoken_names(seen.unknown)) if seen.unknown else "",
    )
    return missed


def _flow_done(turn: Turn, utterance: Utterance | None, said: str) -> None:
    said = f"{said} {_looked_at(turn)}".strip()
    mode, past = mode_of(turn.context, turn.progress), past_of(turn.context, turn.progress)
    began = turn.progress.flow_began
    spent = None if began is None else round(turn.stamp.at - began, 3)
    good = stage_passed(mode, replace(turn.progress, flow_seconds=spent), past)
    turn.record(r.FlowWorked(mode=mode, passed=good))
    turn.record(r.Decided(question=Question.FLOW, choice=Choice.DONE, utterance=utterance))
    seconds = turn.progress.flow_seconds
    best = f", your best {past.best:.0f} s" if past.best and mode is FlowMode.CLOCK else ""
    timed = sentences.flow_done_in(seconds, best) if seconds is not None else ""
    stage = told_stage(mode, good=good)
    turn.news(timed, stage)
    advance_list(turn, said)
    turn.set(sentence=" ".join(filter(None, (said, timed, stage))))
