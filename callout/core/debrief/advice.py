"""What to do next, judging by what went wrong; each piece of advice with its source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from callout.core.checklist_run.causes import Ending
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact, SessionFact
from callout.core.debrief.timeline import SpanKind, Timeline
from callout.core.model.counting import counted_noun
from callout.core.sentences import advice as sentences

TOUCH = "Degani and Wiener, Human Factors 35(2), 1993, guideline 2"
HOLDING = "Flight Safety Foundation, ALAR Briefing Note 1.5"
RESPONSES = "Degani and Wiener, Human Factors 35(2), 1993, guideline 1"
_MOST = 4
"""Maximum number of items named in one sentence."""


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to do."""

    text: str
    source: str = ""
    """Published source, where there is one."""
    rank: int = 1
    """0 for a critical item, 1 for the rest, 2 for what can wait."""


def advise_session(
    session: SessionFact, items: Sequence[ItemFact], timeline: Timeline
) -> tuple[Advice, ...]:
    """Return what to do next, by risk: critical items first; never empty."""
    found = [*_of_the_list(session), *_of_items(items), *_after_holds(items, timeline)]
    if any(item.deviations for item in items):
        found.append(Advice(sentences.PRACTISE_WITH_DRILL))
    found.sort(key=lambda advice: advice.rank)
    if not found:
        found = [Advice(sentences.NOTHING_TO_CORRECT)]
    return tuple(found)


def _of_the_list(session: SessionFact) -> list[Advice]:
    found = []
    if session.ending is None:
        found.append(Advice(sentences.finish_with_resume(session.title)))
    elif session.ending is Ending.STOPPED:
        found.append(Advice(sentences.run_again(session.title)))
    if Deviation.WRONG_TIME in session.deviations:
        found.append(Advice(sentences.complete_earlier_list(session.title)))
    if session.failures:
        found.append(Advice(sentences.DEVICE_FAILED_HINT))
    if session.sound.words:
        found.append(Advice(sentences.sound_advice(session.sound.words)))
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
    text = sentences.wrong_after_hold(_named(wrong))
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
        sentences.SKIPPED_WITHOUT_REASON,
        "",
    ),
    (
        lambda i: Deviation.OMITTED in i.deviations and not i.skipped,
        sentences.LEFT_OPEN,
        "",
    ),
    (
        lambda i: i.mismatches > 0,
        sentences.WRONG_AT_FIRST,
        RESPONSES,
    ),
    (
        lambda i: i.not_set > 0,
        sentences.SAID_AND_NOT_SET,
        TOUCH,
    ),
    (
        lambda i: i.fast,
        sentences.TOO_FAST,
        TOUCH,
    ),
    (lambda i: i.out_of_order, sentences.OUT_OF_ORDER, ""),
    (
        lambda i: i.unclear > 1,
        sentences.NOT_UNDERSTOOD,
        "",
    ),
    (
        lambda i: i.skipped and bool(i.skip_reason) and i.critical,
        sentences.CRITICAL_SKIPPED,
        "",
    ),
    (
        lambda i: i.skipped and bool(i.skip_reason) and not i.critical,
        sentences.SKIPPED_FOR_REASON,
        "",
    ),
)
