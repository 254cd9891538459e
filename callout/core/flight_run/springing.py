"""Memory items between lists: on request, or at random if that option is on."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run.state import Context, Progress
from callout.core.conversation.pacing import Challenger, MemoryMode
from callout.core.flight_run.state import SectorContext, SectorProgress
from callout.core.model.checklist import Checklist
from callout.core.model.commands import plain_words, without_fillers
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.planning.plan import Plan

BY_LOT = Utterance(text="memory items", transcript="by lot", source=ReplySource.KEY)
"""Stands for the words when nobody asked."""


def asks_memory(words: str, context: SectorContext) -> bool:
    """Say whether ``words`` ask for memory items of any list."""
    table = context.session.commands
    said = without_fillers(plain_words(words), table.fillers)
    return any(said == plain_words(form) for form in table.desk.get("memory-items", ()))


def memory_list(context: SectorContext, progress: SectorProgress) -> Checklist | None:
    """Return the list whose memory items come next: of those asked least often, the first drawn."""
    found = [c for c in context.lists if c.any_time and any(i.memory for i in c.items)]
    sprung = [run.list_id for run in progress.runs if run.sprung]
    order = context.surprises.order
    places = {name: n for n, name in enumerate(order)}
    return min(
        found, key=lambda c: (sprung.count(c.id), places.get(c.id, len(order))), default=None
    )


def surprise_due(context: SectorContext, progress: SectorProgress) -> bool:
    """Say whether random memory items are due, now that a list has ended."""
    last = progress.runs[-1] if progress.runs else None
    if last is None or last.sprung or last.ending is None:
        return False
    return sum(not run.sprung and run.ending is not None for run in progress.runs) in (
        context.surprises.after
    )


def by_lot(context: SectorContext, progress: SectorProgress) -> tuple[str, Utterance] | None:
    """Return the randomly drawn list, with the words that stand for the call; None: none is due."""
    lot = memory_list(context, progress) if surprise_due(context, progress) else None
    return (lot.id, BY_LOT) if lot else None


def only_memory(plan: Plan) -> Plan:
    """Return a plan of the memory items alone."""
    memory = (i for i in plan.items if i.memory and i.applicable and not i.leads)
    items = tuple(replace(item, then="") for item in memory)
    call = f"{plan.title}, memory items complete"
    return replace(plan, items=items, completion_call=call, ends={}, flow=(), basis=None)


def recital_context(context: Context) -> Context:
    """Return the context of a recital: the set-up is fixed, and the tool asks."""
    pacing = replace(context.pacing, memory=MemoryMode.RECALL, challenger=Challenger.TOOL)
    return replace(context, setting=None, pacing=pacing)


def recital_words(progress: Progress) -> str:
    """Return how a recital went, in words; empty if there was none."""
    memory, pairs = progress.memory, zip(progress.plan.items, progress.items, strict=True)
    if memory.began is None:
        return ""
    due = [(p, i) for p, i in pairs if p.memory and p.applicable]
    said = sum(i.recited for _, i in due)
    timed = "" if memory.seconds is None else f" in {memory.seconds:.0f} s"
    counts = (
        (memory.wrong, "wrong"),
        (memory.early, "before its turn"),
        (len(memory.told), "told"),
        (len(memory.left_out), "not said"),
    )
    rest = "".join(f", {count} {what}" for count, what in counts if count)
    return f"{said} of {len(due)} from memory{timed}{rest}"
