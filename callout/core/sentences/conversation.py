"""In a list, a flight and a drill alike."""

from __future__ import annotations

INTERRUPTED = "Interrupted."


def device_back(device: str) -> str:
    return f"{device} is back."


JOURNAL_REWRITTEN = (
    "The journal was removed or replaced. It has been written again in full; nothing is lost."
)

NOT_IT = "That is wrong."

NO_ANSWER = "That does not sound like an answer."

LOOK_AND_SAY = "That was a question. Look, and say what you see."

SAY_WHAT_YOU_SEE = "Please say what you see."

SAY_ACTUAL = "Say the actual position or value."

CONTRADICTORY = "Those two answers contradict each other."

PART_MISSING = "A part is missing."

NUMBER_UNCLEAR = "I could not make out the number."

UNIT_MISSING = "Say the unit too."

ANSWERS_PREVIOUS = "That answers the previous item."

ANSWERS_NEXT = "That answers the next item."

PRESSED_EARLY = "You pressed that before this question appeared. Press it again."


def question_changed(typed: str) -> str:
    return f'The question changed while you typed "{typed}". Type it again.'


SIDE_REMARK = "Side remark, not counted."


def after_side_remark(heard: str) -> str:
    return f"{heard} Side remark, not counted."


VOICE_OFF = "Voice off. Challenges appear on the screen only."


def resumed(title: str) -> str:
    return f"{title}, resumed."


def no_reason_given(challenge: str) -> str:
    return f"The list gives no reason for {challenge}."
