"""Whether a person gets better or worse, at the same items."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from math import exp, log

from callout.app.reports.comparing import limited_times, number_keys
from callout.core.debrief.facts import ItemFact, SessionFact
from callout.core.debrief.rates import Cause, cause_happened, cause_rate
from callout.core.debrief.trends import FEWEST_SESSIONS, LEVEL, TrendChange
from callout.core.debrief.usual_times import source_of
from callout.core.sentences import reports as sentences
from callout.reporting import significance as sig
from callout.reporting.hierarchy import Meetings, Slope, slope_of

WHAT = ("Items with a deviation", "Reply time")


def changes_of(sessions: Sequence[SessionFact], items: Sequence[ItemFact]) -> list[TrendChange]:
    """Return whether deviations and spoken reply times of one person change.

    p-values are corrected for these two tests (Holm): other people play no part in them.
    """
    met = [i for i in items if i.met]
    timed = [i for i in items if _seconds(i) > 0 and source_of(i) == "voice"]
    found = []
    if met:
        found.append(
            _change(WHAT[0], sessions, met, lambda i: float(cause_happened(i, Cause.ANY)), True)
        )
    if timed:
        found.append(_change(WHAT[1], sessions, timed, lambda i: log(_seconds(i)), False))
    tested = [c for c in found if not c.words]
    adjusted = iter(sig.holm_adjusted([c.p for c in tested]))
    return [c if c.words else c.judged(next(adjusted), LEVEL) for c in found]


def _seconds(item: ItemFact) -> float:
    return item.reply_seconds or 0.0


def _change(
    what: str,
    sessions: Sequence[SessionFact],
    items: Sequence[ItemFact],
    value: Callable[[ItemFact], float],
    logistic: bool,
) -> TrendChange:
    began = {s.session_id: s.began for s in sessions}
    count = len({i.session_id for i in items})
    first, last = min(began.values()), max(began.values())
    blank = TrendChange(what, count, first, last)
    if count < FEWEST_SESSIONS:
        need = sentences.too_few_sessions(count, FEWEST_SESSIONS)
        return blank.saying(need)
    span = max((last - first) / timedelta(days=1), 1e-9)
    days = [(began[i.session_id] - first) / timedelta(days=1) / span for i in items]
    found = slope_of(_meetings(items, [value(i) for i in items], days), logistic=logistic)
    if found is None:
        return blank.saying(_nothing(items) if logistic else sentences.TOO_LITTLE_VARIATION)
    return blank.measured(
        p=found.p,
        before=_level(found, items, days, 0.0, logistic),
        after=_level(found, items, days, 1.0, logistic),
        times=limited_times(found.change),
        low=limited_times(found.low),
        high=limited_times(found.high),
        least=limited_times(found.least()),
    )


def _nothing(items: Sequence[ItemFact]) -> str:
    found = cause_rate(items, Cause.ANY)
    if found.hits:
        return sentences.NO_ITEM_MET_TWICE
    high = 100 * found.interval[1]
    return sentences.no_error_in(found.total, high)


def _meetings(
    items: Sequence[ItemFact], values: Sequence[float], days: Sequence[float]
) -> Meetings:
    return Meetings(
        happened=values,
        days=days,
        items=number_keys([(i.aircraft, i.list_id, i.item_id) for i in items]),
        lists=number_keys([(i.aircraft, i.list_id) for i in items]),
        sessions=number_keys([i.session_id for i in items]),
    )


def _level(
    found: Slope, items: Sequence[ItemFact], days: Sequence[float], at: float, logistic: bool
) -> float:
    """Return the mean that all meetings would have had at that time."""
    numbers = number_keys([(i.aircraft, i.list_id, i.item_id) for i in items])
    sums: dict[int, list[float]] = {}
    for number, day in zip(numbers, days, strict=True):
        sums.setdefault(number, []).append(day)
    means = {number: sum(ds) / len(ds) for number, ds in sums.items()}
    lines = [float(found.items[n]) + found.change * (at - means[n]) for n in numbers]
    if logistic:
        return sum(1 / (1 + exp(-max(-30.0, min(30.0, line)))) for line in lines) / len(lines)
    return sum(exp(min(30.0, line)) for line in lines) / len(lines)
