"""What to do next after a session."""

from __future__ import annotations

PRACTISE_WITH_DRILL = "Practise what went wrong with callout drill."

NOTHING_TO_CORRECT = "Nothing to correct. Keep looking at each control before you answer."


def finish_with_resume(title: str) -> str:
    return f"Finish {title}: callout resume."


def run_again(title: str) -> str:
    return f"Run {title} again, up to its completion call."


def complete_earlier_list(title: str) -> str:
    return f"Complete the list that comes before {title} first."


DEVICE_FAILED_HINT = "The microphone or voice failed: callout doctor shows what is wrong."


def sound_advice(words: str) -> str:
    return f"Sound: {words}. callout mic shows what to change."


def wrong_after_hold(items: str) -> str:
    return f"{items} went wrong after a hold: read the last completed item again, then continue."


SKIPPED_WITHOUT_REASON = (
    "Skipped without a reason: {}. Do these and answer them before anything else."
)

LEFT_OPEN = "Left open at the end: {}. A list is complete only when every item has its reply."

WRONG_AT_FIRST = "Wrong at first: {}. Read the control, then say the state or value you see."

SAID_AND_NOT_SET = "Called set but not set: {}. Put a hand on the control while you answer."

TOO_FAST = "Answered too fast to have looked: {}. Touch or point at the control while you answer."

OUT_OF_ORDER = "Out of order: {}. Keep to the order of the list."

NOT_UNDERSTOOD = (
    "Not understood more than once: {}. Say the reply as the list writes it. callout "
    "hear shows what it hears in a recording."
)

CRITICAL_SKIPPED = "Critical, and skipped for a reason: {}. Check that the reason still holds."

SKIPPED_FOR_REASON = "Skipped for a reason: {}. Answer these once the reason no longer holds."
