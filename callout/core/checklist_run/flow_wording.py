"""What is said and shown while a flow is done from memory."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.checklist_run.state import Progress
from callout.core.conversation.pacing import FlowMode
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.planning.plan import PlannedPanel


def next_panel(progress: Progress) -> PlannedPanel | None:
    """Return the panel that comes next, or None after the last."""
    flow = progress.plan.flow
    return flow[progress.flow_panels] if progress.flow_panels < len(flow) else None


def flow_words(progress: Progress, mode: FlowMode) -> str:
    """Return the question that accompanies the flow."""
    title = progress.plan.title
    panel = next_panel(progress)
    if mode is FlowMode.SILENT or panel is None:
        return f'{title}: do the flow, then say "done".'
    if mode is FlowMode.PROMPT:
        return f'{panel.panel}.{not_at_rest(panel)} Say "done" for the next panel.'
    fresh = not progress.flow_panels and not progress.flow_misses
    first = f"{title}, the flow from memory. " if fresh else ""
    return f"{first}Which panel comes {'next' if progress.flow_panels else 'first'}?"


def flow_headline(progress: Progress, mode: FlowMode) -> str:
    """Return what stands large on the screen meanwhile."""
    panel = next_panel(progress)
    if mode is FlowMode.SILENT or panel is None:
        return "Flow"
    return panel.panel if mode is FlowMode.PROMPT else "Next panel?"


def not_at_rest(panel: PlannedPanel) -> str:
    """Return what differs from the normal rest position, with a space before it."""
    if not panel.exceptions:
        return ""
    apart = [exception.replace(": ", " ", 1) for exception in panel.exceptions]
    return f" Not in the usual position: {wording.joined(apart)}."


def panel_expected(progress: Progress) -> Expectation:
    """Return what counts as naming the panel that comes next, and as naming another."""
    panel = next_panel(progress)
    if panel is None:
        return Expectation(accepted=())
    others = dict.fromkeys(p.panel for p in progress.plan.flow if p.panel != panel.panel)
    wrong = tuple(WrongReply(phrase(name)) for name in others)
    return Expectation(accepted=(phrase(panel.panel),), wrong=wrong)


def flow_lines(progress: Progress) -> tuple[str, ...]:
    """Return the panels reported so far, one line each."""
    return tuple(
        f"{done.panel}: {done.seconds:.0f} s{', told' if done.told else ''}"
        for done in progress.panels
    )
