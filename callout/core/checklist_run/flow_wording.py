"""What is said and shown while a flow is done from memory."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.checklist_run.flow_recall import due_control
from callout.core.checklist_run.state import Progress
from callout.core.conversation.pacing import FlowMode
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.planning.plan import PlannedPanel
from callout.core.sentences import flow as sentences


def next_panel(progress: Progress) -> PlannedPanel | None:
    """Return the panel that comes next, or None after the last."""
    flow = progress.plan.flow
    return flow[progress.flow_panels] if progress.flow_panels < len(flow) else None


def flow_words(progress: Progress, mode: FlowMode) -> str:
    """Return the question that guides the flow."""
    title = progress.plan.title
    panel = next_panel(progress)
    if mode is FlowMode.RECALL:
        return _recall_words(progress)
    if mode is FlowMode.CLOCK:
        return sentences.against_the_clock(title)
    if mode is FlowMode.SILENT or panel is None:
        return sentences.do_the_flow(title)
    if mode is FlowMode.READ:
        read = " ".join(read_lines(panel))
        return sentences.read_panel(panel.panel, read)
    if mode is FlowMode.PROMPT:
        return sentences.prompt_panel(panel.panel, not_at_rest(panel))
    fresh = not progress.flow_panels and not progress.flow_misses
    first = sentences.flow_from_memory(title) if fresh else ""
    return sentences.which_panel(first, "next" if progress.flow_panels else "first")


def _recall_words(progress: Progress) -> str:
    due = due_control(progress)
    if due is None:
        return sentences.SAY_DONE
    fresh = not progress.controls and not progress.flow_misses
    first = sentences.flow_from_memory(progress.plan.title) if fresh else ""
    panel = due[0]
    begun = progress.controls and progress.controls[-1].panel == panel.panel
    return sentences.which_control(first, panel.panel, "Next" if begun else "First")


def read_lines(panel: PlannedPanel) -> tuple[str, ...]:
    """Return every control of a panel as read aloud, with its position and reason."""
    if not panel.controls:
        return (sentences.NOTHING_HERE,)
    return tuple(
        f"{one.control}, {one.position}{f': {one.why}' if one.why else ''}".rstrip(". ") + "."
        for one in panel.controls
    )


def flow_headline(progress: Progress, mode: FlowMode) -> str:
    """Return the headline on the screen during the flow."""
    panel = next_panel(progress)
    due = due_control(progress) if mode is FlowMode.RECALL else None
    if due is not None:
        return f"{due[0].panel}?"
    if mode in (FlowMode.SILENT, FlowMode.CLOCK) or panel is None:
        return "Flow"
    return sentences.NEXT_PANEL if mode is FlowMode.QUIZ else panel.panel


def not_at_rest(panel: PlannedPanel) -> str:
    """Return what differs from the normal rest position, with a leading space."""
    if not panel.exceptions:
        return ""
    apart = [exception.replace(": ", " ", 1) for exception in panel.exceptions]
    return sentences.unusual_positions(wording.join_names(apart))


def panel_expected(progress: Progress) -> Expectation:
    """Return the expectation for naming the next panel; other panels are wrong."""
    panel = next_panel(progress)
    if panel is None:
        return Expectation(accepted=())
    others = dict.fromkeys(p.panel for p in progress.plan.flow if p.panel != panel.panel)
    wrong = tuple(WrongReply(phrase(name)) for name in others)
    return Expectation(accepted=(phrase(panel.panel),), wrong=wrong)


def flow_lines(progress: Progress, mode: FlowMode) -> tuple[str, ...]:
    """Return what is read at the open panel, or the panels done so far, one line each."""
    panel = next_panel(progress)
    if mode is FlowMode.READ and panel is not None:
        return read_lines(panel)
    return tuple(
        f"{done.panel}: {done.seconds:.0f} s{', told' if done.told else ''}"
        for done in progress.panels
    )
