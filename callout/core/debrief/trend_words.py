"""Trends in words: the same sentences in the terminal, on the page and in Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from callout.core.debrief.deviations import Deviation
from callout.core.debrief.likely import Likely, likely_words, often
from callout.core.debrief.rates import Cause, Rate
from callout.core.debrief.trends import (
    LEVEL,
    Compared,
    ListFault,
    TrendChange,
    TrendFinding,
    TrendKind,
    Trends,
)
from callout.core.sentences import debriefs
from callout.core.sentences import reports as sentences

_CHANGING = (TrendKind.BETTER, TrendKind.WORSE)
METHODS = (
    sentences.METHOD_SHARES,
    sentences.METHOD_LIKELY,
    sentences.METHOD_HABITS,
    sentences.METHOD_CHANGES,
    sentences.METHOD_GROUPS,
    sentences.METHOD_TOO_FAST,
)


def percent_of(rate: Rate) -> str:
    """Return "4.1 % (2.9 to 5.8)"."""
    low, high = rate.interval
    return f"{rate.share * 100:.1f} % ({low * 100:.1f} to {high * 100:.1f})"


def counted_rate(rate: Rate) -> str:
    """Return "12 of 290"."""
    return f"{rate.hits} of {rate.total}"


def counted_share(rate: Rate) -> str:
    """Return "12 of 290 (4.1 %)"."""
    return f"{counted_rate(rate)} ({rate.share * 100:.1f} %)"


def counted_and_likely(rate: Rate, likely: Likely | None) -> str:
    """Return "3 of 10 (30.0 %), likely about 1 in 6 (7 to 33 %)"."""
    counted = counted_share(rate)
    return debriefs.with_likely(counted, likely_words(likely)) if likely else counted


def kind_and_often(finding: TrendFinding) -> str:
    """Return "habitually wrong, likely about 1 in 6"."""
    if finding.likely is None or finding.kind in _CHANGING:
        return finding.kind.value
    return debriefs.with_likely(finding.kind.value, often(finding.likely.share))


def finding_detail(finding: TrendFinding) -> str:
    """Return the numbers of a finding, with what is likely unless that changes."""
    if finding.likely is None or finding.kind in _CHANGING:
        return finding.detail
    return debriefs.with_likely(finding.detail, likely_words(finding.likely))


def change_words(change: TrendChange) -> str:
    """Return one sentence or two on a change, with its numbers where there are any."""
    said = f"{change.what}: {change.words}"
    if not change.high:
        return said
    span = f"between {change.low:.2g} and {change.high:.2g} times (95 %)"
    if change.p <= LEVEL:
        timed = change.what == "Reply time"
        show = _seconds if timed else _per_cent
        return sentences.change_between(
            said,
            show(change.before),
            change.first,
            show(change.after),
            change.last,
            "seconds" if timed else "odds",
            span,
            change.sessions,
        )
    return sentences.change_factor(said, span, change.sessions, change.least)


def _seconds(value: float) -> str:
    return f"{value:.1f} s"


def _per_cent(value: float) -> str:
    return f"{100 * value:.1f} %"


def lead_lines(trends: Trends) -> Iterator[str]:
    """Yield what is read first: by a pilot, what changed and what to do tonight; by somebody who
    looks at several people, who changed and where to look.
    """
    if len(trends.persons) != 1:
        yield who_changed({p.person: p.changes for p in trends.persons})
        for worst in trends.findings[:1]:
            yield debriefs.look_first(
                worst.person, worst.challenge, worst.place.list_name, kind_and_often(worst)
            )
        return
    [person] = trends.persons
    if trends.latest:
        yield trends.latest
    for change in person.changes:
        since = f"Since {change.first:%Y-%m-%d}, {change.what.lower()}"
        if change.high and change.p <= LEVEL:
            yield f"{since}: {change.words[:1].lower()}{change.words[1:]}"
        elif change.high and change is person.changes[0]:
            yield sentences.no_change_shown(since, change.sessions)
    worth = [f for f in trends.findings if f.kind is not TrendKind.BETTER]
    if worth:
        first = worth[0]
        yield sentences.tonight(first.challenge, first.place.list_name, kind_and_often(first))
    else:
        yield debriefs.DRILL_TONIGHT


def who_changed(people: Mapping[str, Sequence[TrendChange]]) -> str:
    """Return whose share of deviations is shown to change, the first of each one's changes."""
    shown = [(name, c[0]) for name, c in people.items() if c and c[0].high and c[0].p <= LEVEL]
    worse = [name for name, change in shown if change.low > 1]
    better = [name for name, change in shown if change.high < 1]
    return debriefs.people_changed(", ".join(worse), ", ".join(better), len(people))


def sure_words(adjusted: float) -> str:
    """Return how sure a finding is, for a reader who wants no figures."""
    if adjusted < 0.001:
        return "as good as sure"
    return "very likely" if adjusted < 0.01 else "likely"


def fault_words(fault: ListFault, apart: bool = True) -> str:
    """Return two sentences about an item that needs repair. apart: name the aircraft too."""
    critical = " (critical)" if fault.critical else ""
    aircraft = f", {fault.place.aircraft}" if apart and fault.place.aircraft else ""
    return (
        f"{fault.challenge}{critical}, {fault.place.list_name}{aircraft}: "
        f"{counted_and_likely(fault.rate, fault.likely)}; far more than at their other items "
        f"for {fault.of_them} of {fault.persons} people. {fault.proposal}"
    )


def finding_words(finding: TrendFinding, apart: bool = True) -> str:
    """Return one line about what stands out. apart: name the aircraft too."""
    critical = " (critical)" if finding.critical else ""
    aircraft = f", {finding.place.aircraft}" if apart and finding.place.aircraft else ""
    return (
        f"{finding.challenge}{critical}, {finding.place.list_name}{aircraft}: "
        f"{finding.kind.value}, {finding_detail(finding)}, {sure_words(finding.adjusted)}"
    )


def compared_words(compared: Compared) -> str:
    """Return one sentence about two groups, and one on how much they differ, or could."""
    rates = percent_of(compared.a), percent_of(compared.b)
    sure = compared.adjusted <= LEVEL
    said = sentences.two_groups(compared.first, rates[0], compared.second, rates[1], differ=sure)
    return f"{said} {compared_size(compared)}".strip()


def compared_size(compared: Compared) -> str:
    """Return how much two groups differ, or how large a difference would show; "" if unknown."""
    if not compared.high:
        return sentences.least_share(compared.least_share) if compared.least_share else ""
    span = f"{_so_many(compared.low)} to {_so_many(compared.high)}"
    how = sentences.odds_of_groups(compared.alike, _so_many(compared.times), span)
    if compared.adjusted <= LEVEL:
        return how
    return f"{how} {sentences.least_difference(_so_many(compared.least))}"


def _so_many(times: float) -> str:
    return f"{times:.2g}" if times < 99.5 else f"{times:.0f}"


def top_causes(trends: Trends) -> Iterator[tuple[str, Rate]]:
    """Yield the causes that occurred, most frequent first, after the sum of the deviations."""
    rest = [(c, r) for c, r in trends.causes.items() if c is not Cause.ANY and r.hits]
    yield Cause.ANY.value, trends.causes[Cause.ANY]
    yield from ((c.value, r) for c, r in sorted(rest, key=lambda pair: -pair[1].hits))


def whole_words(trends: Trends) -> Iterator[tuple[str, Rate]]:
    """Yield what happened to lists as a whole, as far as it could be detected."""
    names = {
        Deviation.INCOMPLETE: "lists not completed",
        Deviation.WRONG_TIME: "lists of flights called at the wrong time",
        Deviation.NEVER_STARTED: "flights with a list never called for",
    }
    yield from ((names[kind], rate) for kind, rate in trends.whole.items() if rate.total)


def period_words(trends: Trends) -> str:
    """Return the number of sessions, and their period."""
    when = f"{trends.first:%Y-%m-%d} to {trends.last:%Y-%m-%d}"
    count = "1 session" if trends.sessions == 1 else f"{trends.sessions} sessions"
    return f"{count}, {trends.completed} completed, {when} (UTC)"


def power_lines(trends: Trends) -> Iterator[str]:
    """Yield what could have been found, once for all people of whom the same is true."""
    said: dict[str, list[str]] = {}
    for person in trends.persons:
        if person.power:
            said.setdefault(person.power, []).append(person.person)
    for power, people in said.items():
        named = f"{', '.join(people)}: " if len(trends.persons) > 1 else ""
        yield f"{named}{power}"
