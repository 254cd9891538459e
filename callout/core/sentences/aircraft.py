"""What the aircraft's own state shows, beside what is said."""

from __future__ import annotations

STATE_LOST = "Nothing comes from the aircraft. Replies count by speech alone."

NOTHING_COMES = "Nothing comes from the aircraft."

START_THE_BRIDGE = "Start its bridge, or answer by speech alone."

BY_SPEECH_ALONE = "By speech alone."

NOTHING_TOLD = "the aircraft has told nothing yet"

HANGS_ON_REPLY = "it depends on the reply"


def said_but(words: str, shown: str) -> str:
    return f"You said {words}; {shown}."


def not_set(reason: str) -> str:
    return f"Not set. {reason}"


def by_speech_alone(why: str) -> str:
    return f" By speech alone: {why}."


def by_state_alone(shown: str) -> str:
    return f"By state alone: {shown}."


def settled_by_state(challenge: str, shown: str) -> str:
    return f"{challenge}: {shown}."


def shown_too(shown: str) -> str:
    return f"{shown[:1].upper()}{shown[1:]}."


def figures_unknown(names: str) -> str:
    return f"not known yet: {names}"


def state_is_old(seconds: float) -> str:
    return f"the last state is {seconds:.0f} s old"


def no_state_of(labels: str) -> str:
    return f"no state of the {labels}"


def stands(label: str, position: str) -> str:
    return f"the {label} is {position}"


ALL_IS_SET = "The flow is done: all of it is set."


def no_longer_so(challenge: str, shown: str) -> str:
    return f"{challenge} is no longer as you said: {shown}."


def flow_missed(names: str) -> str:
    return f"Not done in the flow: {names}."


def flow_mistaken(names: str) -> str:
    return f"Moved, and not in the flow: {names}."


def flow_back(names: str) -> str:
    return f"Moved, and moved back: {names}."


def flow_unknown(names: str) -> str:
    return f"Not seen in the flow: {names}."
