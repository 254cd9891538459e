"""Trends over many sessions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import combinations
from statistics import median, quantiles

from callout.app.reports.journals import JournalFacts
from callout.app.reports.standing_out import Paces, findings_of, paces_of, place_of
from callout.core.checklist_run.causes import Ending
from callout.core.debrief.facts import Facts, ItemFact, SessionFact
from callout.core.debrief.rates import (
    Cause,
    SessionChoice,
    by_session,
    chosen,
    grouped,
    month,
    rate,
    rates,
    whole_lists,
)
from callout.core.debrief.trends import (
    FEWEST_SESSIONS,
    LEVEL,
    Compared,
    PersonTrends,
    TrendChange,
    TrendLine,
    Trends,
    TrendTimes,
)
from callout.core.debrief.usual import source_of
from callout.core.model.checklist import Phase
from callout.errors import CalloutError
from callout.reporting import significance as sig

NOBODY = "(no name)"
UNKNOWN = "(not known)"
_PHASES = {phase.value: phase.order for phase in Phase}
_DAYS = 30.0
FEW_TIMES = 5
"""Replies below which no distribution is shown."""


def trends_of(known: JournalFacts, choice: SessionChoice, compare: Sequence[str] = ()) -> Trends:
    """Return what the sessions of ``choice`` show together.

    compare: names of phases, lists or items (as LIST/ITEM) to set against each other; empty: all
    phases. Raises CalloutError when no session is left, or SciPy is missing.
    """
    sig.stats()
    facts = chosen(known.facts, choice)
    if not facts.sessions:
        if known.facts.sessions:
            hint = "Leave an option out; `callout journal` shows the sessions there are."
            raise CalloutError("No session matches these options.", hint)
        raise CalloutError("No sessions yet.", "Fly one first: callout run before-start")
    items = facts.items
    # those left out by name still tell how long an item takes
    others = chosen(known.facts, replace(choice, person=None))
    return Trends(
        sessions=len(facts.sessions),
        completed=sum(s.ending is Ending.COMPLETED for s in facts.sessions),
        first=facts.sessions[0].began,
        last=facts.sessions[-1].began,
        causes={cause: rate(items, cause) for cause in Cause},
        whole=whole_lists(facts),
        lists=_lines(items, lambda i: i.list_id),
        phases=tuple(sorted(_lines(items, lambda i: i.phase or UNKNOWN), key=_in_flight_order)),
        items=tuple(sorted(_lines(items, lambda i: str(place_of(i))), key=_worst_first)),
        roles=_lines(items, lambda i: i.role.value),
        months=_lines(items, lambda i: month(i.began)),
        times=tuple(_times(items)),
        persons=_persons(facts, paces_of(others.items)),
        compared=_compared(items, compare),
        problems=known.problems,
    )


def _lines(items: Sequence[ItemFact], key: Callable[[ItemFact], str]) -> tuple[TrendLine, ...]:
    tables = {cause: rates(items, key, cause) for cause in Cause}
    names = tables[Cause.ANY]
    return tuple(TrendLine(n, names[n], {c: tables[c][n] for c in Cause}) for n in names)


def _worst_first(line: TrendLine) -> tuple[float, str]:
    return -line.any.interval[0], line.name


def _in_flight_order(line: TrendLine) -> int:
    return _PHASES.get(line.name, len(_PHASES))


def _times(items: Sequence[ItemFact]) -> Iterable[TrendTimes]:
    timed = [i for i in items if i.reply_seconds is not None and i.reply_seconds > 0]
    spoken = [i for i in timed if source_of(i) == "voice"] or timed
    groups = grouped(spoken, lambda i: i.phase or i.list_id)
    for name, group in sorted(groups.items(), key=lambda g: _PHASES.get(g[0], len(_PHASES))):
        found = [i.reply_seconds for i in group if i.reply_seconds is not None]
        if len(found) >= FEW_TIMES:
            yield times_of(name, found)


def times_of(name: str, found: Sequence[float]) -> TrendTimes:
    """Return the distribution of at least two times."""
    low, _, high = quantiles(found, n=4, method="inclusive")
    parts = quantiles(found, n=20, method="inclusive")
    middle = sig.median_interval(found)
    return TrendTimes(name, len(found), median(found), *middle, (low, high), (parts[0], parts[-1]))


def _persons(facts: Facts, paces: Paces) -> tuple[PersonTrends, ...]:
    mine = grouped(facts.items, lambda i: i.person)
    sessions: dict[str, list[SessionFact]] = {}
    for session in facts.sessions:
        sessions.setdefault(session.person, []).append(session)
    changes = {who: list(_changes(own, mine.get(who, []))) for who, own in sessions.items()}
    told = iter(corrected([c for found in changes.values() for c in found]))
    return tuple(
        PersonTrends(
            person=person or NOBODY,
            sessions=len(own),
            any=rate(mine.get(person, []), Cause.ANY),
            changes=tuple(next(told) for _ in changes[person]),
            findings=findings_of(person, mine.get(person, []), paces),
        )
        for person, own in sessions.items()
    )


def _changes(sessions: Sequence[SessionFact], items: Sequence[ItemFact]) -> Iterable[TrendChange]:
    """Yield whether deviations and reply times change; sessions are the units that are counted."""
    began = {s.session_id: s.began for s in sessions}
    start = sessions[0].began
    shares = {k: r.share * 100 for k, r in by_session(items, Cause.ANY).items()}
    timed = [i for i in items if i.reply_seconds is not None and source_of(i) == "voice"]
    paces = {
        key: median(i.reply_seconds for i in group if i.reply_seconds is not None)
        for key, group in grouped(timed, lambda i: i.session_id).items()
    }
    series = (("Items with a deviation", shares, "percentage points"), ("Reply time", paces, "s"))
    for what, values, unit in series:
        days = [(began[k] - start).total_seconds() / 86400 for k in values]
        if values:
            yield change(what, days, list(values.values()), unit)


def change(what: str, days: Sequence[float], values: Sequence[float], unit: str) -> TrendChange:
    """Return whether ``values``, one a session in order, rise or fall; lower is better."""
    count = len(values)
    if count < FEWEST_SESSIONS:
        words = f"Too few sessions to tell: {count}, and at least {FEWEST_SESSIONS} are needed."
        return TrendChange(what, count, 0.0, 1.0, 0.0, 0.0, 0.0, unit, words)
    found = sig.kendall([d / _DAYS for d in days], values)
    return TrendChange(
        what, count, found.tau, found.p, found.slope, found.low, found.high, unit, ""
    )  # fmt: skip


def corrected(changes: Sequence[TrendChange]) -> list[TrendChange]:
    """Return changes with their verdicts, p-values corrected for how many were tested (Holm)."""
    tested = [c for c in changes if not c.words]
    adjusted = iter(sig.holm([c.p for c in tested]))
    return [c if c.words else _with_verdict(c, next(adjusted)) for c in changes]


def _with_verdict(change: TrendChange, p: float) -> TrendChange:
    few = change.sessions < 2 * FEWEST_SESSIONS
    words = "Too few sessions to see a trend." if few else _NONE
    if p <= LEVEL:
        words = "Gets better." if change.tau < 0 else "Gets worse."
    return replace(change, p=p, words=words)


_NONE = "No change shown."


def _compared(items: Sequence[ItemFact], names: Sequence[str]) -> tuple[Compared, ...]:
    groups = _named_groups(items, names) if names else grouped(items, lambda i: i.phase)
    found = {name: rate(group, Cause.ANY) for name, group in groups.items() if name}
    pairs = [(a, b) for a, b in combinations(found, 2) if found[a].total and found[b].total]
    ps = [
        sig.differ(found[a].hits, found[a].total, found[b].hits, found[b].total) for a, b in pairs
    ]
    rows = (
        Compared(a, b, found[a], found[b], p, q)
        for (a, b), p, q in zip(pairs, ps, sig.holm(ps), strict=True)
    )
    return tuple(sorted(rows, key=lambda c: c.p))


def _named_groups(items: Sequence[ItemFact], names: Sequence[str]) -> dict[str, list[ItemFact]]:
    groups: dict[str, list[ItemFact]] = {}
    for name in names:
        group = [i for i in items if name in (i.phase, i.list_id, str(place_of(i)))]
        if not group:
            hint = "Name a phase, a list, or an item as LIST/ITEM; each as the report writes it."
            raise CalloutError(f'No session kept has a phase, list or item "{name}".', hint)
        groups[name] = group
    return groups
