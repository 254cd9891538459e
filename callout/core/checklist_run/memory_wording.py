"""What is said and listened for while memory items are recited."""

from __future__ import annotations

from callout.core.checklist_run.state import Progress
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import flow as sentences


def unsaid_items(progress: Progress) -> tuple[PlannedItem, ...]:
    """Return the memory items neither said nor revealed yet, in order."""
    pairs = zip(progress.plan.items, progress.items, strict=True)
    open_ones = (p for p, i in pairs if p.memory and p.applicable and i.open and not p.missing)
    return tuple(p for p in open_ones if p.id not in progress.memory.told)


def memory_words(progress: Progress) -> str:
    """Return the question that opens the recital, or asks for the next item."""
    due = unsaid_items(progress)
    memory = [item for item in progress.plan.items if item.memory and item.applicable]
    if len(due) == len(memory) and not progress.memory.misses:
        return sentences.say_memory_items(progress.plan.title)
    return "Next?"


def in_words(item: PlannedItem) -> str:
    """Return an item as it is recited."""
    return f"{item.challenge}, {item.expectation.accepted[0].text}"


def names_of(item: PlannedItem) -> tuple[str, ...]:
    """Return the names of the control, longest first."""
    names = (item.challenge, item.spoken, *item.names)
    return tuple(sorted(dict.fromkeys(names), key=len, reverse=True))


def recital_expected(progress: Progress) -> Expectation:
    """Return what may be said next: every remaining item, right or wrong."""
    accepted, wrong = [], []
    for item in unsaid_items(progress):
        for name in names_of(item):
            accepted += [phrase(f"{name} {a.text}") for a in item.expectation.accepted]
            wrong += [WrongReply(phrase(f"{name} {w.answer.text}")) for w in item.expectation.wrong]
    return Expectation(accepted=tuple(accepted), wrong=tuple(wrong))
