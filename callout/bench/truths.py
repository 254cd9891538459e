"""``callout bench truths``: are verdicts about change right if the truth is known?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import click
import numpy as np

from callout.app.reports.comparing import compared_pair
from callout.bench.year import BEGAN
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, by_session, clustered_rate
from callout.core.debrief.trends import LEVEL
from callout.core.model.intervals import wilson_interval
from callout.core.sentences.commands import benches as sentences
from callout.reporting import significance as sig
from callout.reporting.hierarchy import Meetings, slope_of

Numbers = Any
LISTS, ITEMS = 6, 7
"""Lists, and items in each; a session is one list."""
SLOPES = {"nothing": 0.0, "one weak item": 0.0, "easy lists first": 0.0,
          "gets better": -1.6, "gets worse": 1.6}  # fmt: skip
"""Change of the log odds from the first day to the last: 1.6 is 5 times the odds."""
SPREADS = (0.0, 0.5, 1.0)
"""Of the sessions, on the log odds."""


GROUPS = {"groups alike": (0.0, 0.0), "other aircraft": (0.0, 1.2), "second is worse": (1.0, 0.0)}
"""What the second group, and the second aircraft, add to the log odds."""


@dataclass(frozen=True, slots=True)
class MadeUp:
    """One invented person's year."""

    meetings: Meetings
    day: Numbers
    """Of each session, 0 to 1."""
    truth: float
    """The change that the average session shows."""
    share: float
    """The true share of deviations, sessions averaged."""
    shares: Numbers
    """The same of each item in the whole time."""


USUAL, APART = -3.0, 0.8
"""Log odds of a slip at a usual item, and their spread."""


def made_up(
    kind: str, spread: float, sessions: int, seed: int, usual: float = USUAL, apart: float = APART
) -> MadeUp:
    """Return a person's year with a known truth; ``seed`` is the person."""
    chance = np.random.default_rng(seed)
    level = chance.normal(usual, apart, LISTS * ITEMS)
    day = np.sort(chance.random(sessions))
    flown = chance.integers(LISTS, size=sessions)
    if kind == "one weak item":
        level[chance.integers(len(level))] = np.log(0.3 / 0.7)
    if kind == "easy lists first":
        level += np.repeat(np.linspace(-1.2, 1.2, LISTS), ITEMS)
        early = day * LISTS + chance.normal(0, 0.7, sessions)
        flown = np.clip(early.astype(int), 0, LISTS - 1)
    items = (flown[:, None] * ITEMS + np.arange(ITEMS)).ravel()
    session = np.repeat(np.arange(sessions), ITEMS)
    line = level[items] + SLOPES[kind] * (day[session] - 0.5)
    odds = line + chance.normal(0, spread, sessions)[session]
    happened = chance.random(len(odds)) < _chance(odds)
    known, numbers = np.unique(items, return_inverse=True)
    _, lists = np.unique(known // ITEMS, return_inverse=True)
    nodes, weights = np.polynomial.hermite_e.hermegauss(15)
    share = sum(w * _chance(line + spread * n).mean() for n, w in zip(nodes, weights, strict=True))
    whole = level[known][:, None] + SLOPES[kind] * (day - 0.5)
    shares = sum(w * _chance(whole + spread * n) for n, w in zip(nodes, weights, strict=True))
    met = Meetings(happened, day[session], numbers, lists[numbers], session)
    flat = SLOPES[kind] / np.sqrt(1 + 0.346 * spread**2)
    return MadeUp(
        met, day, float(flat), float(share / weights.sum()), shares.mean(axis=1) / weights.sum()
    )


def _chance(odds: Numbers) -> Numbers:
    return 1 / (1 + np.exp(-odds))


@click.command("truths")
@click.option("--people", default=200, show_default=True, help=sentences.TRUTHS_PEOPLE)
@click.option("--sessions", default=60, show_default=True, help=sentences.TRUTHS_SESSIONS)
def command(people: int, sessions: int) -> None:
    """Invent people whose truth is known, and count right and wrong verdicts.

    "Before": Mann and Kendall's test on the shares of sessions, as used up to 0.1.0. A verdict of
    change is false if nothing changes, or if it has the wrong sign.
    """
    click.echo(sentences.persons_a_cell(people, sessions, ITEMS))
    for kind in SLOPES:
        for spread in SPREADS:
            click.echo(cell(kind, spread, people, sessions))
    for spread in SPREADS:
        click.echo("".join(shares(spread, people, sessions)))
    for kind in GROUPS:
        for spread in SPREADS:
            click.echo(groups(kind, spread, people, sessions))


def cell(kind: str, spread: float, people: int, sessions: int) -> str:
    """Return a line on one kind of truth."""
    years = [made_up(kind, spread, sessions, seed) for seed in range(people)]
    found = [(year, slope_of(year.meetings)) for year in years]
    told = [(year, one) for year, one in found if one is not None]
    inside = sum(one.low <= year.truth <= one.high for year, one in told)
    new = [np.sign(one.change) if one.p <= 0.05 else 0.0 for _, one in told]
    old = [_before(year) for year in years]
    return (
        f"{kind:<17} session spread {spread:.1f}: 95 % intervals hold {_of(inside, len(told))}; "
        f"{_verdicts('now', new, kind)}; {_verdicts('before', old, kind)}"
    )


def _before(year: MadeUp) -> float:
    sums = np.bincount(year.meetings.sessions, year.meetings.happened)
    found = sig.kendall_trend(list(year.day), list(sums / ITEMS))
    return float(np.sign(found.tau)) if found.p <= 0.05 else 0.0


def _verdicts(name: str, signs: list[Any], kind: str) -> str:
    return _told_apart(name, signs, SLOPES[kind])


def _of(count: int, total: int) -> str:
    return f"{100 * count / max(1, total):.1f} %"


def shares(spread: float, people: int, sessions: int) -> Iterator[str]:
    """Yield how often the interval of a person's share contains the true one, and two lists'
    test.
    """
    plain = whole = exact = apart = 0
    for seed in range(people):
        year = made_up("nothing", spread, sessions, seed)
        met = year.meetings
        pairs = list(zip(map(str, met.sessions), map(bool, met.happened), strict=True))
        hits = sum(hit for _, hit in pairs)
        for interval, count in (
            (wilson_interval(hits, len(pairs)), 0),
            (clustered_rate(pairs).interval, 1),
        ):
            holds = interval[0] <= year.share <= interval[1]
            plain, whole = plain + (holds and not count), whole + (holds and count)
        sums = np.bincount(met.sessions, met.happened).astype(int)
        halves = [[(int(h), ITEMS) for h in sums[n::2]] for n in (0, 1)]
        (a, n), (b, m) = ((sum(h for h, _ in t), sum(k for _, k in t)) for t in halves)
        exact += sig.rates_differ(a, n, b, m) <= 0.05
        apart += sig.differ_in_sessions(*halves) <= 0.05
    yield f"share of a person  session spread {spread:.1f}: intervals hold now {_of(whole, people)}"
    yield f", before {_of(plain, people)}; two groups alike, told to differ now "
    yield f"{_of(apart, people)}, before {_of(exact, people)}"


def two_groups(kind: str, spread: float, sessions: int, seed: int) -> list[list[ItemFact]]:
    """Return a person's meetings with the items of two lists, in two aircraft.

    The items of both lists are equally hard. The second list is flown in the second aircraft four
    times in five, the first one time in five.
    """
    chance = np.random.default_rng(seed)
    levels = np.tile(chance.normal(-3.0, 0.8, ITEMS), (2, 1))
    worse, harder = GROUPS[kind]
    found: list[list[ItemFact]] = [[], []]
    for number in range(sessions):
        group = int(chance.integers(2))
        aircraft = int(chance.random() < (0.2, 0.8)[group])
        line = levels[group] + worse * group + harder * aircraft + chance.normal(0, spread)
        for place, wrong in enumerate(chance.random(ITEMS) < _chance(line)):
            found[group].append(_fact(number, group, aircraft, place, wrong=bool(wrong)))
    return found


def _fact(session: int, group: int, aircraft: int, place: int, *, wrong: bool) -> ItemFact:
    return ItemFact(
        session_id=str(session), began=BEGAN, person="P", aircraft=str(aircraft),
        list_id=str(group), phase="", item_id=str(place), position=place, challenge="", asked=1,
        outcome=ItemOutcome.ANSWERED, deviations=(Deviation.MISMATCHED,) * wrong,
    )  # fmt: skip


def groups(kind: str, spread: float, people: int, sessions: int) -> str:
    """Return a line on how often two groups are told to differ, and how well the odds are known."""
    worse, _ = GROUPS[kind]
    truth = worse / np.sqrt(1 + 0.346 * spread**2)
    new, old, inside, told = [], [], 0, 0
    for seed in range(people):
        one, other = two_groups(kind, spread, sessions, seed)
        found = compared_pair("1", "2", one, other)
        new.append(np.sign(found.times - 1) if found.p <= LEVEL else 0.0)
        p = sig.differ_in_sessions(_tallies(one), _tallies(other))
        more = np.sign(found.b.share - found.a.share)
        old.append(more if p <= LEVEL else 0.0)
        told += found.high > 0
        inside += found.high > 0 and found.low <= np.exp(truth) <= found.high
    return (
        f"{kind:<17} session spread {spread:.1f}: 95 % intervals hold {_of(inside, told)}; "
        f"{_told_apart('now', new, worse)}; {_told_apart('before', old, worse)}"
    )


def _tallies(items: list[ItemFact]) -> list[tuple[int, int]]:
    return [(r.hits, r.total) for r in by_session(items, Cause.ANY).values()]


def _told_apart(name: str, signs: list[Any], truth: float) -> str:
    right = sum(bool(s) and s == np.sign(truth) for s in signs)
    false = sum(bool(s) and s != np.sign(truth) for s in signs)
    found = f", found {_of(right, len(signs))}" if truth else ""
    return f"{name} false {_of(false, len(signs))}{found}"
