"""Trends in words: the same sentences in the terminal, on the page and in Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.rates import Cause, Rate
from callout.core.debrief.trends import LEVEL, Compared, TrendChange, TrendFinding, Trends

METHODS = (
    "Shares come with 95 % Wilson score intervals (Wilson 1927; Newcombe, Statistics in Medicine "
    "17:857, 1998).",
    "Habits at an item: Fisher's exact test against the person's other items. Slow items: Mann "
    "and Whitney's test against what others need there. Both corrected together for all items of "
    "the person (Benjamini and Hochberg 1995, 5 % false findings), then whether what is often "
    "wrong gathers early or late, corrected in the same way.",
    "Better or worse over time: Mann and Kendall's test with sessions as units, and Theil and "
    "Sen's slope. Two groups: Fisher's exact test. Both corrected for their number (Holm 1979).",
    "Items of one session are alike, so true intervals are somewhat wider. A difference that is "
    "not shown may still be there.",
)


def percent(rate: Rate) -> str:
    """Return "4.1 % (2.9 to 5.8)"."""
    low, high = rate.interval
    return f"{rate.share * 100:.1f} % ({low * 100:.1f} to {high * 100:.1f})"


def counted_rate(rate: Rate) -> str:
    """Return "12 of 290"."""
    return f"{rate.hits} of {rate.total}"


def change_words(change: TrendChange) -> str:
    """Return one sentence on a change, with its numbers where there are any."""
    if not change.tau:
        return f"{change.what}: {change.words}"
    return (
        f"{change.what}: {change.words} Change in 30 days {change.slope:+.2f} {change.unit} "
        f"({change.low:+.2f} to {change.high:+.2f}), {change.sessions} sessions, "
        f"corrected p {p_words(change.p)}."
    )


def p_words(p: float) -> str:
    """Return "0.031" or "below 0.001"."""
    return "below 0.001" if p < 0.001 else f"{p:.3f}"


def finding_words(finding: TrendFinding) -> str:
    """Return one line on what stands out."""
    critical = " (critical)" if finding.critical else ""
    return f"{finding.challenge}{critical}, {finding.place.list_id}: {finding.kind.value}, " + (
        f"{finding.detail}"
    )


def compared_words(compared: Compared) -> str:
    """Return one sentence on two groups."""
    differ = "differ" if compared.adjusted <= LEVEL else "no difference shown"
    return (
        f"{compared.first} {percent(compared.a)} and {compared.second} {percent(compared.b)}: "
        f"{differ}, corrected p {p_words(compared.adjusted)}."
    )


def top_causes(trends: Trends) -> Iterator[tuple[str, Rate]]:
    """Yield the causes that occurred, most frequent first, after the sum of the deviations."""
    rest = [(c, r) for c, r in trends.causes.items() if c is not Cause.ANY and r.hits]
    yield Cause.ANY.value, trends.causes[Cause.ANY]
    yield from ((c.value, r) for c, r in sorted(rest, key=lambda pair: -pair[1].hits))


def whole_words(trends: Trends) -> Iterator[tuple[str, Rate]]:
    """Yield what happened with lists as a whole, as far as it could be seen."""
    names = {
        Deviation.INCOMPLETE: "lists not completed",
        Deviation.WRONG_TIME: "lists of flights called at the wrong time",
        Deviation.NEVER_STARTED: "flights with a list never called for",
    }
    yield from ((names[kind], rate) for kind, rate in trends.whole.items() if rate.total)


def period(trends: Trends) -> str:
    """Return how many sessions, and from when to when."""
    when = f"{trends.first:%Y-%m-%d} to {trends.last:%Y-%m-%d}"
    count = "1 session" if trends.sessions == 1 else f"{trends.sessions} sessions"
    return f"{count}, {trends.completed} completed, {when} (UTC)"
