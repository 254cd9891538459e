"""What a refusal reveals: the right reply, or only that the reply was not right."""

from __future__ import annotations

from enum import Enum

from callout.core.language.reasons import Reason
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import conversation as sentences

NOT_IT = sentences.NOT_IT
_NO_ANSWER = sentences.NO_ANSWER


class Reveal(Enum):
    """When a person who gave a wrong reply learns the right one."""

    ALWAYS = "always"
    AFTER_SECOND = "after-second"
    """After two wrong or unclear replies to the item."""
    NEVER = "never"


_TELL_NOTHING = frozenset((
    Reason.NOTHING, Reason.TOO_LONG, Reason.UNRELATED, Reason.HEDGE, Reason.CANCELLED,
    "not-sure", "not-known-yet", "wrong-seat",
))  # fmt: skip
"""Codes whose sentence reveals nothing about the right reply."""

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
"""What is said instead of the judge's sentence."""


def tells_now(reveal: Reveal, misses: int) -> bool:
    """Say whether to reveal the right reply after this many wrong or unclear ones."""
    return reveal is Reveal.ALWAYS or (reveal is Reveal.AFTER_SECOND and misses >= 2)


def told_reason(judged: Judgement, *, tells: bool) -> str:
    """Return why a reply was refused, without the right one unless it may be revealed."""
    if tells or judged.code in _TELL_NOTHING:
        return judged.reason
    other = NOT_IT if judged.verdict is Verdict.MISMATCH else _NO_ANSWER
    return _INSTEAD.get(judged.code, other)
