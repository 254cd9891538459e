"""What to do next, from what went wrong; each with where the advice comes from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from callout.core.checklist_run.causes import Ending
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact, SessionFact
from callout.core.debrief.timeline import SpanKind, Timeline
from callout.core.model.counting import counted_noun

TOUCH = "Degani and Wiener, Human Factors 35(2), 1993, guideline 2"
HOLDING = "Flight Safety Foundation, ALAR Briefing Note 1.5"
RESPONSES = "Degani and Wiener, Human Factors 35(2), 1993, guideline 1"
_MOST = 4
"""Items named in one sentence."""


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to do."""

    text: str
    source: str = ""
    """Published source, where there is one."""
    rank: int = 1
    """0 what concerns a critical item, 1 the rest, 2 what can wait."""


def advise_session(
    session: SessionFact, items: Sequence[ItemFact], timeline: Timeline
) -> tuple[Advice, ...]:
    """Return what to do next, by risk: critical items first; never empty."""
    found = [*_of_the_list(session), *_of_items(items), *_after_holds(items, timeline)]
    if any(item.deviations for item in items):
        found.append(Advice("Practise what went wrong with callout drill."))
    found.sort(key=lambda advice: advice.rank)
    if not found:
        found = [Advice("Nothing to correct. Keep looking at each control before you answer.")]
    return tuple(found)


def _of_the_list(session: SessionFact) -> list[Advice]:
    found = []
    if session.ending is None:
        found.append(Advice(f"Finish {session.title}: callout resume."))
    elif session.ending is Ending.STOPPED:
        found.append(Advice(f"Run {session.title} again, up to its completion call."))
    if Deviation.WRONG_TIME in session.deviations:
        found.append(Advice(f"Complete the list that comes before {session.title} first."))
    if session.failures:
        found.append(Advice("The microphone or voice failed: callout doctor finds out what."))
    if session.sound.words:
        found.append(Advice(f"Sound: {session.sound.words}. callout mic shows what to change."))
    return found


def _of_items(items: Sequence[ItemFact]) -> list[Advice]:
    found = []
    for chosen, text, source in _RULES:
        names = sorted((i for i in items if chosen(i)), key=lambda i: not i.critical)
        if names:
            can_wait = names[0].skipped and names[0].skip_reason and not names[0].critical
            rank = 0 if names[0].critical else 2 if can_wait else 1
            found.append(Advice(text.format(_named(names)), source, rank))
    return found


def _after_holds(items: Sequence[ItemFact], timeline: Timeline) -> list[Advice]:
    """Name the items that went wrong right after a hold."""
    spans = timeline.spans
    after = {
        following.item_id
        for hold, following in pairwise(spans)
        if hold.doing is SpanKind.HOLD and following.doing is SpanKind.ITEM
    }
    wrong = [i for i in items if i.item_id in after and i.deviations]
    if not wrong:
        return []
    text = (
        f"{_named(wrong)} went wrong after a hold: read the last completed item again, then go on."
    )
    return [Advice(text, HOLDING, 0 if any(i.critical for i in wrong) else 1)]


def _named(items: Sequence[ItemFact]) -> str:
    several = len({i.critical for i in items}) > 1
    names = [
        f"{i.challenge}{' (critical)' if several and i.critical else ''}" for i in items[:_MOST]
    ]
    more = len(items) - len(names)
    return ", ".join(names) + (f" and {counted_noun(more, 'more item')}" if more else "")


Rule = tuple[Callable[[ItemFact], bool], str, str]
_RULES: tuple[Rule, ...] = (
    (
        lambda i: i.skipped and not i.skip_reason,
        "Skipped without a reason: {}. Do and answer these before anything else.",
        "",
    ),
    (
        lambda i: Deviation.OMITTED in i.deviations and not i.skipped,
        "Left open at the end: {}. A list is complete when every item has its reply.",
        "",
    ),
    (
        lambda i: i.mismatches > 0,
        "Wrong at first: {}. Read the control, then say the state or value that is there.",
        RESPONSES,
    ),
    (
        lambda i: i.not_set > 0,
        "Said, and not set: {}. Put a hand on the control while you answer.",
        TOUCH,
    ),
    (
        lambda i: i.fast,
        "Answered too fast to have looked: {}. Touch or point at the control while you answer.",
        TOUCH,
    ),
    (lambda i: i.out_of_order, "Out of order: {}. Keep to the order of the list.", ""),
    (
        lambda i: i.unclear > 1,
        "Not understood more than once: {}. Say the reply as the list writes it. "
        "callout hear shows how a recording is heard.",
        "",
    ),
    (
        lambda i: i.skipped and bool(i.skip_reason) and i.critical,
        "Critical, and skipped for a reason: {}. See that the reason still holds.",
        "",
    ),
    (
        lambda i: i.skipped and bool(i.skip_reason) and not i.critical,
        "Skipped for a reason: {}. Answer these once it holds no longer.",
        "",
    ),
)
