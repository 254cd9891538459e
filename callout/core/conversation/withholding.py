"""What a refusal reveals: the right reply too, or only that it was not given."""

from __future__ import annotations

from enum import Enum

from callout.core.language.reasons import Reason
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import conversation as sentences

NOT_IT = sentences.NOT_IT
_NO_ANSWER = sentences.NO_ANSWER


class Reveal(Enum):
    """When a person who did not give the right reply is told it."""

    ALWAYS = "always"
    AFTER_SECOND = "after-second"
    """Once two replies to the item were wrong or unclear."""
    NEVER = "never"


_TELL_NOTHING = frozenset((
    Reason.NOTHING, Reason.TOO_LONG, Reason.UNRELATED, Reason.HEDGE, Reason.CANCELLED,
    "not-sure", "not-known-yet", "wrong-seat",
))  # fmt: skip
"""Codes whose sentence says nothing of the right reply."""

_INSTEAD: dict[str, str] = {
    Reason.QUESTION: sentences.LOOK_AND_SAY,
    Reason.ACKNOWLEDGED: sentences.SAY_WHAT_YOU_SEE,
    Reason.BARE_STATUS: sentences.SAY_ACTUAL,
    Reason.CONTRADICTORY: sentences.CONTRADICTORY,
    Reason.PARTIAL: sentences.PART_MISSING,
    Reason.NUMBER_GARBLED: sentences.NUMBER_UNCLEAR,
    Reason.UNIT_MISSING: sentences.UNIT_MISSING,
    Reason.PREVIOUS_ITEM: sentences.ANSWERS_PREVIOUS,
    Reason.NEXT_ITEM: sentences.ANSWERS_NEXT,
}
"""What is said in place of the judge's sentence."""


def tells_now(reveal: Reveal, misses: int) -> bool:
    """Say whether the right reply is told after so many wrong or unclear ones."""
    return reveal is Reveal.ALWAYS or (reveal is Reveal.AFTER_SECOND and misses >= 2)


def told_reason(judged: Judgement, *, tells: bool) -> str:
    """Return why a reply was refused, without the right one unless that may be told."""
    if tells or judged.code in _TELL_NOTHING:
        return judged.reason
    other = NOT_IT if judged.verdict is Verdict.MISMATCH else _NO_ANSWER
    return _INSTEAD.get(judged.code, other)
