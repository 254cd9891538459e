"""Turns a session's state into what a screen shows."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.checklist_run.arming import next_called_for
from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.flow_stages import mode_of
from callout.core.checklist_run.flow_wording import flow_headline
from callout.core.checklist_run.on_screen_controls import answers_to, controls_now
from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress, SessionState
from callout.core.conversation.view_model import Doing, Row, Status, Trouble, ViewModel, doing_now
from callout.core.model.commands import Command
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import checklist as sentences

_STATUS = {
    ItemOutcome.ANSWERED: Status.ANSWERED,
    ItemOutcome.SKIPPED: Status.SKIPPED,
    ItemOutcome.NOT_APPLICABLE: Status.NOT_APPLICABLE,
    ItemOutcome.LEFT_OPEN: Status.LEFT_OPEN,
}


def view_of(state: SessionState) -> ViewModel:
    """Return the screen for ``state``."""
    progress, moment = state.progress, state.moment
    item = progress.item
    applying = [i for i in progress.items if i.outcome is not ItemOutcome.NOT_APPLICABLE]
    return ViewModel(
        title=progress.plan.title,
        rows=_item_rows(progress),
        current=progress.current,
        section=item.section if item else "",
        challenge=_shown_challenge(state),
        question=progress.question is not None or progress.awaiting,
        role=wording.role_words(item.role) if item else "",
        critical=bool(item and item.critical),
        cautions=item.cautions if item else progress.plan.cautions,
        notes=item.notes if item else progress.plan.notes,
        doing=_what_doing(state),
        heard=moment.heard.words if moment.heard else "",
        heard_from=moment.heard.source if moment.heard else None,
        heard_sure=moment.heard.sure if moment.heard else True,
        heard_seat=wording.seat_words(moment.heard),
        verdict=moment.verdict,
        settled=moment.verdict is Verdict.MATCH and not _first_of_two(progress),
        sentence=moment.sentence,
        lines=moment.lines,
        options=moment.options,
        deferred=wording.challenges_of(progress, progress.parked),
        done=sum(i.outcome not in (None, ItemOutcome.LEFT_OPEN) for i in applying),
        total=len(applying),
        quiet=progress.quiet,
        pace=progress.pace,
        hearing=state.context.hearing,
        hints=_key_hints(state),
        controls=controls_now(state),
        answers=answers_to(state),
        troubles=tuple(Trouble(part, message) for part, message in moment.shown_troubles),
    )


def _first_of_two(progress: Progress) -> bool:
    """Say whether the open item has one right reply and waits for the other seat's."""
    return progress.current is not None and progress.items[progress.current].accepted > 0


def _item_rows(progress: Progress) -> tuple[Row, ...]:
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return tuple(_item_row(progress, n, item, state) for n, (item, state) in enumerate(pairs))


def _item_row(progress: Progress, index: int, item: PlannedItem, state: ItemProgress) -> Row:
    status = _item_status(progress, index, state)
    note = {Status.ANSWERED: state.reply, Status.DEFERRED: state.note}.get(status, state.reason)
    return Row(
        item_id=item.id,
        number=index + 1,
        challenge=item.challenge,
        status=status,
        note=note,
        critical=item.critical,
        section=item.section,
    )


def _item_status(progress: Progress, index: int, state: ItemProgress) -> Status:
    if state.outcome:
        return _STATUS[state.outcome]
    if index == progress.current:
        return Status.CURRENT
    return Status.DEFERRED if state.due_round > progress.round else Status.PENDING


def _shown_challenge(state: SessionState) -> str:
    progress = state.progress
    if progress.ending:
        return progress.call or "Stopped"
    if progress.held and progress.question is not Question.STOP:
        return wording.holding_at(progress).rstrip(".")
    if progress.question is Question.FLOW:
        return flow_headline(progress, mode_of(state.context, progress))
    if progress.question:
        return _QUESTIONS[progress.question]
    due = next_called_for(progress) if progress.awaiting else None
    if due:
        return f"Challenge {due.challenge}"
    return progress.item.challenge if progress.item else ""


_QUESTIONS = {
    Question.SKIP_REASON: sentences.SKIP_REASON,
    Question.MEMORY: "Memory items",
    Question.STOP: "Stop? Yes or no",
    Question.OPEN_ITEMS: "Items still open",
    Question.COMPLETION: sentences.COMPLETION_CALL,
    Question.FACT: "Set-up",
    Question.QUANTITY: "Heard right? Yes or no",
}


def _key_hints(state: SessionState) -> tuple[tuple[str, str], ...]:
    """Return the keys worth showing: the plainest key of each command available now."""
    if state.progress.ending:
        return ()
    held = state.progress.held
    words = {Command.CONTINUE: "continue"} if held else _WHILE_ASKING
    entries = ((state.context.commands.entry(c), w) for c, w in {**words, **_ALWAYS}.items())
    return tuple((wording.key_name(entry.keys[-1]), w) for entry, w in entries if entry.keys)


_WHILE_ASKING = {
    Command.HOLD: "hold",
    Command.SKIP: "skip",
    Command.DEFER: "defer",
    Command.GO_BACK: "back",
}
_ALWAYS = {Command.WHAT_IS_LEFT: "what is left", Command.HELP: "help", Command.STOP: "stop"}


def _what_doing(state: SessionState) -> Doing:
    progress = state.progress
    deaf = any(part == "hearing" for part, _ in state.moment.troubles)
    return doing_now(
        ended=bool(progress.ending or progress.suspended),
        held=bool(progress.held),
        speaking=bool(state.moment.speaking),
        hears=state.context.hears and not deaf,
    )
