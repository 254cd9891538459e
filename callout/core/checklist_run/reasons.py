"""Why things are done: the answer to "why?" at an item and at a flow stop."""

from __future__ import annotations

from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.flow_stages import mode_of
from callout.core.checklist_run.flow_wording import next_panel
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.pacing import FlowMode
from callout.core.sentences import checklist as sentences
from callout.core.sentences import conversation

_FIRST = sentences.SAY_IT_FIRST


def reasons_for(turn: Turn) -> tuple[str, ...]:
    """Return the sentence to say, then lines to show."""
    progress = turn.progress
    if progress.question is Question.FLOW:
        return _of_panel(turn)
    if progress.question is Question.MEMORY:
        return (_FIRST,)
    item = progress.item
    if item is None:
        return (sentences.ASK_WHY_AT_ITEM,)
    return (item.why or conversation.no_reason_given(item.challenge),)


def _of_panel(turn: Turn) -> tuple[str, ...]:
    panel = next_panel(turn.progress)
    mode = mode_of(turn.context, turn.progress)
    if panel is None or mode in (FlowMode.QUIZ, FlowMode.RECALL):
        return (_FIRST,)
    told = [f"{c.control}: {c.why}" for c in panel.controls if c.why]
    if not told:
        return (sentences.no_reasons_at(panel.panel),)
    return (" ".join(f"{line.rstrip('.')}." for line in told), *told)
