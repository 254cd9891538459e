"""Faults of the list: items that go wrong for nearly everybody."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from callout.app.reports.standing_out import TIMES_AS_OFTEN, place_of
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, Rate, cause_happened, cause_rate, group_items
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import FEWEST_ITEM, LEVEL, ListFault
from callout.core.model.verdict import Verdict
from callout.reporting import significance as sig

FEWEST_PERSONS = 3
"""Below this an item that goes wrong for all may be chance, or one teacher."""
MOST_OF_THEM = 0.6
"""Share of those who met it at whom it goes wrong far more often than their other items."""


def faults_of(items: Sequence[ItemFact]) -> tuple[ListFault, ...]:
    """Return items whose wording or place is to be looked at, the most often wrong first.

    Each person's item is tested against the same person's other items, and the tests of all
    are put together (Stouffer), then corrected for the number of items (Benjamini, Hochberg).
    """
    met = [i for i in items if i.met]
    wholes = {
        who: cause_rate(own, Cause.ANY) for who, own in group_items(met, lambda i: i.person).items()
    }
    tested = []
    for group in group_items(met, place_of).values():
        own = {
            who: cause_rate(g, Cause.ANY)
            for who, g in group_items(group, lambda i: i.person).items()
        }
        enough = {who: found for who, found in own.items() if found.total >= FEWEST_ITEM}
        if len(enough) >= FEWEST_PERSONS:
            tested.append(_tested(group, enough, wholes))
    adjusted = sig.benjamini_hochberg([p for _, p in tested])
    found = [
        _told(fault, q)
        for (fault, _), q in zip(tested, adjusted, strict=True)
        if q <= LEVEL and fault.of_them >= MOST_OF_THEM * fault.persons
    ]
    return tuple(sorted(found, key=lambda f: (not f.critical, -f.rate.share, str(f.place))))


def _tested(
    group: Sequence[ItemFact], own: dict[str, Rate], wholes: dict[str, Rate]
) -> tuple[ListFault, float]:
    rests = {who: _less(wholes[who], found) for who, found in own.items()}
    often = [who for who, r in own.items()
             if r.hits > 1 and r.share >= TIMES_AS_OFTEN * rests[who].share]  # fmt: skip
    ps = [
        sig.more_often(r.hits, r.total, rests[who].hits, rests[who].total) for who, r in own.items()
    ]
    last = group[-1]
    fault = ListFault(
        place_of(last),
        last.challenge,
        last.critical,
        len(own),
        len(often),
        cause_rate(group, Cause.ANY),
        1.0,
        proposal(group),
    )
    return fault, sig.together(ps)


def _less(whole: Rate, part: Rate) -> Rate:
    return Rate(whole.hits - part.hits, whole.total - part.total)


def _told(fault: ListFault, adjusted: float) -> ListFault:
    return ListFault(
        fault.place,
        fault.challenge,
        fault.critical,
        fault.persons,
        fault.of_them,
        fault.rate,
        adjusted,
        fault.proposal,
    )


def proposal(group: Sequence[ItemFact]) -> str:
    """Return what to look at in the wording, from what people did there."""
    counts = {
        c: sum(cause_happened(i, c) for i in group)
        for c in (Cause.WRONG, Cause.OMITTED, Cause.ORDER)
    }
    most = max(counts, key=lambda cause: counts[cause])
    if most is Cause.OMITTED:
        return "It is mostly left out: say when it does not apply, or take it out of the list."
    if most is Cause.ORDER:
        return "It is mostly taken out of order: move it to where the hand reaches it."
    said = Counter(
        reply.words.casefold()
        for item in group
        for reply in item.heard
        if reply.verdict is Verdict.MISMATCH and reply.sure
    )
    words, times = said.most_common(1)[0] if said else ("", 0)
    if times * 2 > counts[Cause.WRONG]:
        return (
            f'Most say "{shown_text(words)}": if that is right, accept '
            "it (also:); if not, ask so that "
            "it cannot be said, with the state named in the challenge."
        )
    return "The wrong replies differ: name in the challenge which control and which state is meant."
