"""Trends over many sessions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import replace
from statistics import median, quantiles

from callout.app.reports.changing import changes_of
from callout.app.reports.comparing import Groups, compared_pairs
from callout.app.reports.journals import JournalFacts
from callout.app.reports.likely import LikelySums, Shares, likely_of, with_likely
from callout.app.reports.list_faults import faults_of
from callout.app.reports.standing_out import Paces, findings_of, paces_of, place_of, power_of
from callout.core.checklist_run.causes import Ending
from callout.core.debrief.facts import Facts, ItemFact, SessionFact
from callout.core.debrief.own_pace import with_own_pace
from callout.core.debrief.rates import (
    Cause,
    SessionChoice,
    cause_rate,
    chosen_facts,
    group_items,
    grouped_rates,
    month_of,
    whole_lists,
)
from callout.core.debrief.since_last_time import latest_words
from callout.core.debrief.trends import (
    PersonTrends,
    TrendLine,
    Trends,
    TrendTimes,
)
from callout.core.debrief.usual_times import source_of
from callout.core.model.checklist import Phase
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError
from callout.reporting import significance as sig

NOBODY = "(no name)"
UNKNOWN = "(not known)"
_PHASES = {phase.value: phase.order for phase in Phase}
FEW_TIMES = 5
"""Number of replies below which no distribution is shown."""


def trends_of(known: JournalFacts, choice: SessionChoice, compare: Sequence[str] = ()) -> Trends:
    """Return what the sessions of ``choice`` show together.

    compare: names of phases, lists or items (as LIST/ITEM) to compare; empty: all phases. Raises
    CalloutError if no session is left, or SciPy is missing.
    """
    sig.scipy_stats()
    facts = chosen_facts(known.facts, choice)
    if not facts.sessions:
        if known.facts.sessions:
            hint = sentences.NO_MATCH_HINT
            raise CalloutError(sentences.NO_MATCH, hint)
        raise CalloutError(sentences.NO_SESSIONS_YET, "Fly one first: callout run before-start")
    facts = replace(facts, items=with_own_pace(facts.items))
    items = facts.items
    persons, sums = _person_trends(facts, paces_of(items))
    shares = sums.shares()
    return Trends(
        sessions=len(facts.sessions),
        completed=sum(s.ending is Ending.COMPLETED for s in facts.sessions),
        first=facts.sessions[0].began,
        last=facts.sessions[-1].began,
        causes={cause: cause_rate(items, cause) for cause in Cause},
        whole=whole_lists(facts),
        lists=_trend_lines(items, _named_by(items, _list_key, lambda i: i.title or i.list_id)),
        phases=_trend_lines(sorted(items, key=_in_flight_order), phase_name),
        items=_item_lines(items, shares),
        roles=_trend_lines(items, lambda i: i.role.value),
        months=_trend_lines(items, lambda i: month_of(i.began)),
        times=tuple(_trend_times(items)),
        persons=persons,
        compared=compared_pairs(_groups_of(items, compare)),
        faults=with_likely(faults_of(items), shares),
        problems=known.problems,
        latest=latest_words(facts),
        several_aircraft=len({i.aircraft for i in items}) > 1,
    )


def _trend_lines(
    items: Sequence[ItemFact], key: Callable[[ItemFact], str]
) -> tuple[TrendLine, ...]:
    tables = {cause: grouped_rates(items, key, cause) for cause in Cause}
    names = tables[Cause.ANY]
    return tuple(TrendLine(n, names[n], {c: tables[c][n] for c in Cause}) for n in names)


def _item_lines(items: Sequence[ItemFact], shares: Shares) -> tuple[TrendLine, ...]:
    named = _named_items(items)
    known = {named(i): (i.critical, shares.get(place_of(i))) for i in items}
    lines = (
        replace(line, critical=known[line.name][0], likely=known[line.name][1])
        for line in _trend_lines(items, named)
    )
    return tuple(sorted(lines, key=_likeliest_first))


def _list_key(item: ItemFact) -> Hashable:
    return item.aircraft, item.list_id


def _named_items(items: Sequence[ItemFact]) -> Callable[[ItemFact], str]:
    return _named_by(items, place_of, lambda i: f"{i.challenge} ({i.title or i.list_id})")


def _named_by(
    items: Sequence[ItemFact], key: Callable[[ItemFact], Hashable], words: Callable[[ItemFact], str]
) -> Callable[[ItemFact], str]:
    """Return the names of groups: the words of the latest item; aircraft and namesakes stay
    separate.
    """
    several = len({i.aircraft for i in items}) > 1
    last = {key(i): i for i in items}
    names = {k: f"{words(i)}{f', {i.aircraft or UNKNOWN}' if several else ''}"
             for k, i in last.items()}  # fmt: skip
    counts, so_far, found = Counter(names.values()), Counter[str](), dict(names)
    for k in sorted(last, key=lambda one: _in_order(last[one])):
        name = names[k]
        so_far[name] += 1
        if counts[name] > 1:
            found[k] = sentences.namesake(name, so_far[name])
    return lambda item: found[key(item)]


def _in_order(item: ItemFact) -> tuple[int, str, str, str]:
    return item.position, item.list_id, item.item_id, item.aircraft


def phase_name(item: ItemFact) -> str:
    """Return the phase of flight in its usual spelling: "Before start"."""
    return item.phase.replace("-", " ").capitalize() or UNKNOWN


def _likeliest_first(line: TrendLine) -> tuple[bool, float, str]:
    return not line.critical, -(line.likely.share if line.likely else 0.0), line.name


def _in_flight_order(item: ItemFact) -> int:
    return _PHASES.get(item.phase, len(_PHASES))


def _trend_times(items: Sequence[ItemFact]) -> Iterable[TrendTimes]:
    timed = [i for i in items if i.reply_seconds is not None and i.reply_seconds > 0]
    spoken = [i for i in timed if source_of(i) == "voice"] or timed
    groups = group_items(
        sorted(spoken, key=_in_flight_order),
        lambda i: phase_name(i) if i.phase else i.title or i.list_id,
    )
    for name, group in groups.items():
        found = [i.reply_seconds for i in group if i.reply_seconds is not None]
        if len(found) >= FEW_TIMES:
            yield times_of(name, found)


def times_of(name: str, found: Sequence[float]) -> TrendTimes:
    """Return the distribution of at least two times."""
    low, _, high = quantiles(found, n=4, method="inclusive")
    parts = quantiles(found, n=20, method="inclusive")
    middle = sig.median_interval(found)
    return TrendTimes(name, len(found), median(found), *middle, (low, high), (parts[0], parts[-1]))


def _person_trends(facts: Facts, paces: Paces) -> tuple[tuple[PersonTrends, ...], LikelySums]:
    """Return people one by one, each by their own sessions alone, and the sums over all."""
    mine = group_items(facts.items, lambda i: i.person)
    sessions: dict[str, list[SessionFact]] = {}
    for session in facts.sessions:
        sessions.setdefault(session.person, []).append(session)
    found, sums = [], LikelySums()
    for person, own in sessions.items():
        items = mine.get(person, [])
        changes = changes_of(own, items)
        likely = likely_of(items, changes)
        sums.add(likely)
        found.append(
            PersonTrends(
                person=person or NOBODY,
                sessions=len(own),
                any=cause_rate(items, Cause.ANY),
                changes=tuple(changes),
                findings=likely.told(findings_of(person, items, paces)),
                power=power_of(items),
            )
        )
    return tuple(found), sums


def _groups_of(items: Sequence[ItemFact], names: Sequence[str]) -> Groups:
    if names:
        return _named_groups(items, names)
    return group_items((i for i in items if i.phase), phase_name)


def _named_groups(items: Sequence[ItemFact], names: Sequence[str]) -> dict[str, list[ItemFact]]:
    groups: dict[str, list[ItemFact]] = {}
    named = _named_items(items)
    for name in names:
        group = [
            i
            for i in items
            if name in (i.phase, phase_name(i), i.list_id, i.title, str(place_of(i)), named(i))
        ]
        if not group:
            hint = sentences.NAME_A_GROUP
            raise CalloutError(sentences.no_group_called(name), hint)
        groups[name] = group
    return groups
