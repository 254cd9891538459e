"""The path a list took through its questions, and the call that ends it."""

from __future__ import annotations

from collections.abc import Mapping

from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.model.list_routes import END
from callout.core.planning.plan import Plan


def completion_call(progress: Progress) -> str:
    """Return the call that completes the list on the path it took."""
    plan = progress.plan
    node = plan.items[0].id if plan.items else END
    nodes = nodes_of(plan, progress.ways)
    while not node.startswith(END):
        following = nodes[node]
        if len(following) != 1:
            return plan.completion_call  # a question was not answered
        node = following[0]
    return plan.ends.get(node.removeprefix(f"{END}:"), plan.completion_call)


def left_out(progress: Progress) -> tuple[str, ...]:
    """Return the ids of items on a path not taken."""
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return tuple(i.id for i, s in pairs if s.dropped_by and s.outcome is ItemOutcome.NOT_APPLICABLE)


def nodes_of(plan: Plan, ways: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Return what can follow each item once some questions are answered."""
    found = {}
    for at, item in enumerate(plan.items):
        following = plan.items[at + 1].id if at + 1 < len(plan.items) else END
        usual = item.then or following
        leads = tuple(dict.fromkeys(lead.to for lead in item.leads)) or (usual,)
        found[item.id] = (ways[item.id],) if item.id in ways else leads
    return found


def undecided_questions(progress: Progress) -> tuple[str, ...]:
    """Return the ids of questions that were answered without leading anywhere, because of a
    break.
    """
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return tuple(
        i.id
        for i, s in pairs
        if i.leads and s.outcome is ItemOutcome.ANSWERED and i.id not in progress.ways
    )
