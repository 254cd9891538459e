"""The screen of a flight between its lists."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.on_screen_controls import DESK, offered_controls
from callout.core.conversation.view_model import Doing, Row, Status, Trouble, ViewModel, doing_now
from callout.core.flight_run.calls import first_phrase
from callout.core.flight_run.due import next_due, normal_lists
from callout.core.flight_run.lapsing import complete_now, lapsed_items
from callout.core.flight_run.questions import DeskQuestion
from callout.core.flight_run.state import SectorProgress, SectorState
from callout.core.flight_run.wording import run_note
from callout.core.model.checklist import Checklist
from callout.core.model.commands import Command
from callout.core.sentences import flight as sentences

_QUESTIONS = {
    DeskQuestion.OUT_OF_ORDER: sentences.OUT_OF_ORDER,
    DeskQuestion.MEANT: sentences.THIS_LIST,
    DeskQuestion.AGAIN: sentences.RUN_IT_AGAIN,
    DeskQuestion.END: sentences.END_THE_FLIGHT,
}


def view_of_desk(state: SectorState) -> ViewModel:
    """Return the screen between lists."""
    context, progress, moment = state.context, state.progress, state.moment
    lists = normal_lists(context, progress)
    due = next_due(context, progress)
    current = next((n for n, c in enumerate(lists) if due and c.id == due.id), None)
    return ViewModel(
        title=progress.title,
        rows=tuple(_list_row(n, c, state, n == current) for n, c in enumerate(lists)),
        current=current,
        challenge=_desk_headline(progress, due),
        question=True,
        doing=_what_doing(state),
        heard=moment.heard.words if moment.heard else "",
        heard_from=moment.heard.source if moment.heard else None,
        sentence=moment.sentence,
        lines=moment.lines,
        done=sum(complete_now(context, progress, c.id) for c in lists),
        total=len(lists),
        quiet=progress.quiet,
        pace=progress.pace,
        hearing=context.session.hearing,
        hints=_key_hints(state),
        controls=()
        if progress.ended
        else offered_controls(context.session.commands, DESK, progress.quiet),
        answers=_answer_labels(state, due),
        troubles=tuple(Trouble(part, message) for part, message in moment.shown_troubles),
        unit="list",
    )


def _list_row(index: int, checklist: Checklist, state: SectorState, current: bool) -> Row:
    run = state.progress.last_run(checklist.id)
    again = lapsed_items(state.context, state.progress, checklist)
    if run is None or again:
        status = Status.DUE if current else Status.PENDING
    elif run.aside:
        status = Status.DEFERRED
    elif run.ending is Ending.COMPLETED:
        status = Status.ANSWERED
    else:
        status = Status.LEFT_OPEN
    due_again = ", ".join(filter(None, ("due again", *(item.challenge for item in again))))
    note = (
        due_again
        if again
        else run_note(run) or (f'at "{checklist.due[0]}"' if checklist.due else "")
    )
    return Row(checklist.id, index + 1, checklist.title, status, note)


def _desk_headline(progress: SectorProgress, due: Checklist | None) -> str:
    if progress.ended:
        return "Flight ended"
    if progress.question:
        return _QUESTIONS[progress.question]
    return f"Next: {due.title}" if due else "No list is due"


def _what_doing(state: SectorState) -> Doing:
    progress, moment = state.progress, state.moment
    deaf = any(part == "hearing" for part, _ in moment.troubles)
    return doing_now(
        ended=bool(progress.ended or progress.suspended),
        held=False,
        speaking=bool(moment.speaking),
        hears=state.context.session.hears and not deaf,
    )


def _answer_labels(state: SectorState, due: Checklist | None) -> tuple[str, ...]:
    if state.progress.ended:
        return ()
    if state.progress.question:
        return ("yes", "no")
    return (first_phrase(due),) if due else ()


def _key_hints(state: SectorState) -> tuple[tuple[str, str], ...]:
    if state.progress.ended:
        return ()
    words = {
        Command.WHAT_IS_LEFT: "what is due",
        Command.HELP: "help",
        Command.STOP: "end the flight",
    }
    table = state.context.session.commands
    found = ((table.entry(command), said) for command, said in words.items())
    return tuple((wording.key_name(e.keys[-1]), said) for e, said in found if e.keys)
