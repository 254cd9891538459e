"""Faults of the list: items that go wrong for nearly everybody."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from callout.app.reports.standing_out import TIMES_AS_OFTEN, place_of
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, Rate, cause_happened, cause_rate, group_items
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import FEWEST_ITEM, LEVEL, ListFault, TrendPlace
from callout.core.model.verdict import Verdict
from callout.core.sentences import reports as sentences
from callout.reporting import significance as sig

FEWEST_PERSONS = 3
"""With fewer people, an item that goes wrong for everybody may be chance, or one instructor's
habit.
"""
MOST_OF_THEM = 0.6
"""Share of the people who met it for whom it goes wrong far more often than their other items."""


_KINDS = (Cause.WRONG, Cause.OMITTED, Cause.ORDER)
_MOST_WORDS = 4
"""Words; a longer wrong reply is not a state that a challenge could name."""


def faults_of(items: Sequence[ItemFact]) -> tuple[ListFault, ...]:
    """Return items whose wording or place needs a look, most often wrong first."""
    sums = FaultSums()
    for who, own in group_items(items, lambda i: i.person).items():
        sums.add(who, own)
    return sums.faults()


@dataclass(slots=True)
class _PlaceSums:
    last: ItemFact
    own: dict[str, Rate] = field(default_factory=dict)
    """By person, for those with enough runs."""
    hits: int = 0
    total: int = 0
    kinds: Counter[Cause] = field(default_factory=Counter)
    said: Counter[str] = field(default_factory=Counter)
    """Wrong replies heard for certain."""
    right: Counter[str] = field(default_factory=Counter)


@dataclass(slots=True)
class FaultSums:
    """Counts for many people, added one person at a time, so that no rows have to be kept."""

    wholes: dict[str, Rate] = field(default_factory=dict)
    places: dict[TrendPlace, _PlaceSums] = field(default_factory=dict)

    def add(self, person: str, items: Iterable[ItemFact]) -> None:
        """Add all items of one person."""
        met = [i for i in items if i.met]
        self.wholes[person] = cause_rate(met, Cause.ANY)
        for place, group in group_items(met, place_of).items():
            sums = self.places.setdefault(place, _PlaceSums(group[-1]))
            sums.last = max(sums.last, group[-1], key=lambda item: item.began)
            found = cause_rate(group, Cause.ANY)
            sums.hits, sums.total = sums.hits + found.hits, sums.total + found.total
            if found.total >= FEWEST_ITEM:
                sums.own[person] = found
            _count_words(sums, group)

    def faults(self) -> tuple[ListFault, ...]:
        """Return the faults of lists, critical ones first.

        Each person's item is tested against the same person's other items; the tests of all people
        are combined (Stouffer), then corrected for the number of items (Benjamini, Hochberg).
        """
        tested = [
            self._tested(place, sums)
            for place, sums in self.places.items()
            if len(sums.own) >= FEWEST_PERSONS
        ]
        adjusted = sig.benjamini_hochberg([p for _, p in tested])
        found = [
            replace(fault, adjusted=q)
            for (fault, _), q in zip(tested, adjusted, strict=True)
            if q <= LEVEL and fault.of_them >= MOST_OF_THEM * fault.persons
        ]
        return tuple(sorted(found, key=lambda f: (not f.critical, -f.rate.share, str(f.place))))

    def _tested(self, place: TrendPlace, sums: _PlaceSums) -> tuple[ListFault, float]:
        rests = {who: _less(self.wholes[who], found) for who, found in sums.own.items()}
        often = [who for who, r in sums.own.items()
                 if r.hits > 1 and r.share >= TIMES_AS_OFTEN * rests[who].share]  # fmt: skip
        ps = [
            sig.more_often(r.hits, r.total, rests[who].hits, rests[who].total)
            for who, r in sums.own.items()
        ]
        fault = ListFault(
            place,
            sums.last.challenge,
            sums.last.critical,
            len(sums.own),
            len(often),
            Rate(sums.hits, sums.total),
            1.0,
            _proposal(sums),
        )
        return fault, sig.combined_p(ps)


def _less(whole: Rate, part: Rate) -> Rate:
    return Rate(whole.hits - part.hits, whole.total - part.total)


def _count_words(sums: _PlaceSums, group: Sequence[ItemFact]) -> None:
    for item in group:
        sums.kinds.update(c for c in _KINDS if cause_happened(item, c))
        if item.reply:
            sums.right[item.reply.casefold()] += 1
        sums.said.update(
            reply.words.casefold()
            for reply in item.heard
            if reply.verdict is Verdict.MISMATCH and reply.sure
        )


def proposed_change(group: Sequence[ItemFact]) -> str:
    """Return what to change in the wording, judging by what people did there."""
    sums = _PlaceSums(group[-1])
    _count_words(sums, group)
    return _proposal(sums)


def _proposal(sums: _PlaceSums) -> str:
    most = max(_KINDS, key=lambda cause: sums.kinds[cause])
    if most is Cause.OMITTED:
        return sentences.MOSTLY_LEFT_OUT
    if most is Cause.ORDER:
        return sentences.MOSTLY_OUT_OF_ORDER
    words, times = sums.said.most_common(1)[0] if sums.said else ("", 0)
    right = sums.right.most_common(1)[0][0] if sums.right else ""
    if times * 2 > sums.kinds[Cause.WRONG] and len(words.split()) <= _MOST_WORDS:
        asked = shown_text(f"{sums.last.challenge}: {right} or {words}?" if right else words)
        accept = sentences.accept_also(shown_text(words))
        return f'Proposed wording: "{asked}", so that the state meant is named. {accept}'
    panel = f"{sums.last.section}, {sums.last.challenge}" if sums.last.section else ""
    better = sentences.proposed_wording(shown_text(panel)) if panel else ""
    return f"The wrong replies differ: name which control and which state is meant.{better}"
