"""What became of the replies of whole lists, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from callout.bench.session import spread
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class ListOutcome:
    """What a session would have made of it."""

    file: str
    item_id: str
    voice: str
    said: str
    right: bool
    verdict: str
    heard: str
    reason: str
    transcript: str = ""
    took_ms: float = 0.0
    """From the end of speech to the verdict, the wait for more speech included."""
    number: bool = False
    """True if a number is expected."""

    @property
    def accepted(self) -> bool:
        """True when it was taken as the right reply."""
        return self.verdict == Verdict.MATCH.value


def summary_lines(outcomes: Sequence[ListOutcome], voices: Sequence[str]) -> Iterator[str]:
    """Yield the counts, in all and for each voice."""
    for voice in (*voices, ""):
        mine = [o for o in outcomes if voice in ("", o.voice)]
        right, wrong = [o for o in mine if o.right], [o for o in mine if not o.right]
        name = voice or "all voices"
        yield _share(f"{name}: right replies taken at once", sum(o.accepted for o in right), right)
        if wrong:
            yield _share(f"{name}: wrong replies accepted", sum(o.accepted for o in wrong), wrong)
            named = Counter(o.verdict for o in wrong)[Verdict.MISMATCH.value]
            yield _share(f"{name}: wrong replies named at once", named, wrong)


def _share(name: str, hits: int, of: Sequence[ListOutcome]) -> str:
    low, high = wilson_interval(hits, len(of))
    share = hits / len(of) if of else 0.0
    return f"{name}: {hits} of {len(of)}, {share:.2%} [{low:.2%}, {high:.2%}]"


def time_lines(times_ms: Sequence[tuple[float, bool]]) -> Iterator[str]:
    """Yield the times from the end of speech to the verdict; each with True for a number."""
    kinds = (
        ("all right replies", times_ms),
        ("words", [one for one in times_ms if not one[1]]),
        ("numbers", [one for one in times_ms if one[1]]),
    )
    for name, of in kinds:
        if of:
            middle, high, count = spread([took for took, _ in of], 0)
            yield f"{name}: end of speech to verdict {middle:.0f} ms, 95 % {high:.0f} ms ({count})"
