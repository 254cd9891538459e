"""What a refusal tells: the right reply too, or only that it was not given."""

from __future__ import annotations

from enum import Enum

from callout.core.language.reasons import Reason
from callout.core.model.verdict import Judgement, Verdict

NOT_IT = "That is not it."
_NO_ANSWER = "I could not take that as an answer."


class Reveal(Enum):
    """When the right reply is told to somebody who did not give it."""

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
    Reason.QUESTION: "That was a question; look, and say what you see.",
    Reason.ACKNOWLEDGED: "Please say what you see.",
    Reason.BARE_STATUS: "Say the actual position or value.",
    Reason.CONTRADICTORY: "That said two things that exclude each other.",
    Reason.PARTIAL: "A part is missing.",
    Reason.NUMBER_GARBLED: "I could not make out the number.",
    Reason.UNIT_MISSING: "Say the unit too.",
    Reason.PREVIOUS_ITEM: "That answers the item before.",
    Reason.NEXT_ITEM: "That answers the item after.",
}
"""What is said in the place of the judge's sentence."""


def tells_now(reveal: Reveal, misses: int) -> bool:
    """Say whether the right reply is told after so many wrong or unclear ones."""
    return reveal is Reveal.ALWAYS or (reveal is Reveal.AFTER_SECOND and misses >= 2)


def told_reason(judged: Judgement, *, tells: bool) -> str:
    """Return why a reply was refused, without the right one unless that may be told."""
    if tells or judged.code in _TELL_NOTHING:
        return judged.reason
    other = NOT_IT if judged.verdict is Verdict.MISMATCH else _NO_ANSWER
    return _INSTEAD.get(judged.code, other)
