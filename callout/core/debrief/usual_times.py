"""A person's own usual reply times, from their earlier sessions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from callout.core.debrief.facts import Facts, ItemFact, SessionFact

FEWEST = 5
"""Earlier replies below which nothing is called usual."""
_FENCE = 1.5
"""Interquartile ranges beyond the quartiles (Tukey, Exploratory Data Analysis, 1977)."""


@dataclass(frozen=True, slots=True)
class Usual:
    """Earlier reply times at one item, in seconds."""

    count: int
    """Earlier replies counted."""
    median: float
    """Seconds."""
    low: float
    """First quartile."""
    high: float
    """Third quartile."""

    def says(self, seconds: float) -> str:
        """Return "slower than usual", "faster than usual" or ""."""
        reach = _FENCE * (self.high - self.low)
        if seconds > self.high + reach:
            return "slower than usual"
        return "faster than usual" if seconds < self.low - reach else ""


def usual_times(facts: Facts, session: SessionFact) -> dict[str, Usual]:
    """Return the usual times at each item before ``session``, by item id.

    They come from first replies of the same person to the same list of the same aircraft, given in
    the same way (spoken or typed); fewer than five are ignored.
    """
    kind = _session_kind(session)
    earlier = {
        s.session_id
        for s in facts.sessions
        if _session_kind(s) == kind
        and s.began < session.began
        and s.session_id != session.session_id
    }
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for item in facts.items:
        if item.session_id in earlier and item.reply_seconds is not None:
            found[item.item_id, source_of(item)].append(item.reply_seconds)
    ways = {i.item_id: source_of(i) for i in facts.items if i.session_id == session.session_id}
    pairs = ((item_id, found.get((item_id, way), [])) for item_id, way in ways.items())
    return {item_id: quartiles_of(times) for item_id, times in pairs if len(times) >= FEWEST}


def quartiles_of(times: Sequence[float]) -> Usual:
    """Return the quartiles of at least two times."""
    low, _, high = quantiles(times, n=4, method="inclusive")
    return Usual(len(times), median(times), low, high)


def source_of(item: ItemFact) -> str:
    """Return how the first reply was given: "voice", "keyboard" or ""."""
    return item.heard[0].source if item.heard else ""


def _session_kind(session: SessionFact) -> tuple[str, ...]:
    return session.person, session.aircraft, session.list_id


def replied_by(items: Iterable[ItemFact]) -> str:
    """Return how the replies were given, judging by the replies themselves; "" for none."""
    sources = {reply.source for item in items for reply in item.heard}
    if sources == {"keyboard"}:
        return "typed"
    return "spoken and typed" if "keyboard" in sources else "spoken" if sources else ""
