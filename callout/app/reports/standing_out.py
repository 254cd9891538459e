"""What stands out at one person's items: tests of every item, corrected for their number."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, Rate, cause_happened, cause_rate, group_items
from callout.core.debrief.trends import FEWEST_ITEM, LEVEL, TrendFinding, TrendKind, TrendPlace
from callout.core.debrief.usual_times import source_of
from callout.core.sentences import reports as sentences
from callout.reporting import significance as sig

HABITS = {
    TrendKind.SKIPPED: Cause.OMITTED,
    TrendKind.WRONG: Cause.WRONG,
    TrendKind.NOT_SET: Cause.NOT_SET,
    TrendKind.FAST: Cause.FAST,
    TrendKind.ORDER: Cause.ORDER,
}
"""What each habit counts."""
TIMES_AS_OFTEN = 2.0
"""A habit must be at least this many times as frequent as at the person's other items."""
SLOWER_THAN_REST = 1.5
"""Minimum ratio to the person's other items; other people's times play no part."""


@dataclass(frozen=True, slots=True)
class Paces:
    """How long each item takes everybody, as multiples of their own median."""

    times: Mapping[tuple[str, TrendPlace], tuple[float, ...]]
    """By person and place, in seconds."""
    own: Mapping[str, float]
    """Median of a person over all items."""


def paces_of(items: Sequence[ItemFact]) -> Paces:
    """Return the reply times of all persons; spoken ones, or typed where nobody spoke."""
    timed = [i for i in items if i.reply_seconds is not None and i.reply_seconds > 0]
    spoken = [i for i in timed if source_of(i) == "voice"]
    groups = group_items(spoken or timed, lambda i: (i.person, place_of(i)))
    times = {
        key: tuple(i.reply_seconds for i in group if i.reply_seconds is not None)
        for key, group in groups.items()
    }
    own: dict[str, list[float]] = {}
    for (person, _), found in times.items():
        own.setdefault(person, []).extend(found)
    return Paces(times, {name: median(found) for name, found in own.items()})


def place_of(item: ItemFact) -> TrendPlace:
    """Return where an item is."""
    return TrendPlace(item.list_id, item.item_id, item.aircraft, item.title)


def findings_of(person: str, items: Sequence[ItemFact], paces: Paces) -> tuple[TrendFinding, ...]:
    """Return what stands out at the items of ``person``, oldest session first in ``items``.

    Every item met often enough is tested for every habit and for slowness, and p-values are
    adjusted together. If one is often wrong or skipped, a second family of tests asks whether that
    gathers early or late: given how often it happened, this is independent of the first.
    """
    places = {
        place: group
        for place, group in group_items((i for i in items if i.met), place_of).items()
        if len(group) >= FEWEST_ITEM
    }
    habits = _corrected_findings(list(_tested_items(person, places, items, paces)))
    often = {f.place: f for f in habits if f.kind in (TrendKind.WRONG, TrendKind.SKIPPED)}
    changes = _corrected_findings([_test_change(f, places[place]) for place, f in often.items()])
    changing = {f.place for f in changes}
    told = (f for f in habits if not (f.place in changing and _already_told(f)))
    return tuple(sorted((*told, *changes), key=lambda f: (f.adjusted, str(f.place))))


def _already_told(finding: TrendFinding) -> bool:
    """Say whether a change at the same item already reports this."""
    return finding.kind in (TrendKind.WRONG, TrendKind.SKIPPED)


Tested = tuple[TrendFinding, bool]
"""An uncorrected finding, and whether it is large enough to matter."""


def _corrected_findings(tested: Sequence[Tested]) -> list[TrendFinding]:
    adjusted = sig.benjamini_hochberg([f.p for f, _ in tested])
    pairs = zip(tested, adjusted, strict=True)
    return [replace(f, adjusted=q) for (f, large), q in pairs if large and q <= LEVEL]


def _tested_items(
    person: str,
    places: Mapping[TrendPlace, Sequence[ItemFact]],
    items: Sequence[ItemFact],
    paces: Paces,
) -> Iterator[Tested]:
    wholes = {cause: cause_rate(items, cause) for cause in HABITS.values()}
    for place, group in places.items():
        blank = TrendFinding(
            person,
            place,
            group[-1].challenge,
            group[-1].critical,
            TrendKind.SLOW,
            Rate(0, 0),
            1,
            1,
            "",
        )
        for kind, cause in HABITS.items():
            if wholes[cause].hits:
                yield _test_habit(replace(blank, kind=kind), group, cause, wholes[cause])
        timed = _test_slowness(blank, paces)
        if timed:
            yield timed


def _test_habit(
    blank: TrendFinding, group: Sequence[ItemFact], cause: Cause, whole: Rate
) -> Tested:
    here = cause_rate(group, cause)
    rest = Rate(whole.hits - here.hits, whole.total - here.total)
    p = sig.more_often(here.hits, here.total, rest.hits, rest.total)
    detail = f"{here.hits} of {here.total} runs, elsewhere {rest.share * 100:.1f} %"
    large = here.hits > 1 and here.share >= TIMES_AS_OFTEN * rest.share
    return replace(blank, rate=here, p=p, detail=detail), large


def _test_change(blank: TrendFinding, group: Sequence[ItemFact]) -> Tested:
    """Test whether wrong replies and omissions gather early or late."""
    hits = [cause_happened(i, Cause.WRONG) or cause_happened(i, Cause.OMITTED) for i in group]
    shift, p = sig.drift_test(hits)
    half = len(hits) // 2
    early, late = Rate(sum(hits[:half]), half), Rate(sum(hits[half:]), len(hits) - half)
    kind = TrendKind.BETTER if shift < 0 else TrendKind.WORSE
    detail = f"{early.hits} of {early.total} runs at first, then {late.hits} of {late.total}"
    return replace(blank, kind=kind, rate=Rate(sum(hits), len(hits)), p=p, detail=detail), True


def _test_slowness(blank: TrendFinding, paces: Paces) -> Tested | None:
    mine = paces.times.get((blank.person, blank.place), ())
    if len(mine) < FEWEST_ITEM:
        return None
    own = paces.own[blank.person]
    relative, rest = [t / own for t in mine], _other_paces(blank, paces, own)
    if not rest:
        return None
    detail = f"{median(mine):.1f} s, other items take {median(rest) * own:.1f} s"
    large = median(relative) >= SLOWER_THAN_REST * median(rest)
    tested = replace(blank, rate=Rate(len(mine), len(mine)), detail=detail)
    return replace(tested, p=sig.tends_larger(relative, rest)), large


def _other_paces(blank: TrendFinding, paces: Paces, own: float) -> list[float]:
    found = paces.times.items()
    mine = (ts for (who, where), ts in found if who == blank.person and where != blank.place)
    return [t / own for times in mine for t in times]


def power_of(items: Sequence[ItemFact]) -> str:
    """Return the smallest weakness that would be found at an item, in a sentence.

    At the usual number of runs, with a power of four in five, corrected for all tests of the
    person.
    """
    groups = [g for g in group_items((i for i in items if i.met), place_of).values()]
    runs = int(median(len(g) for g in groups)) if groups else 0
    if runs < FEWEST_ITEM:
        need = f"{FEWEST_ITEM} runs of an item are needed before anything is said of it"
        return sentences.nothing_found_yet(need, runs)
    whole = cause_rate(items, Cause.WRONG)
    watched = any(i.shown for i in items)
    habits = len(HABITS) - (not watched)  # what nobody could detect is not tested
    share = sig.least_found(runs, whole.hits, whole.total, LEVEL / (len(groups) * habits))
    if share is None:
        return sentences.not_even_always_wrong(runs)
    return sentences.power_of_runs(runs, 100 * share)
