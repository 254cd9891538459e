"""What the aircraft's own state shows, beside what is said."""

from __future__ import annotations

STATE_LOST = "The aircraft is sending nothing. Replies count by speech alone."

NOTHING_COMES = "The aircraft is sending nothing."

START_THE_BRIDGE = "Start its bridge, or answer by speech alone."

BY_SPEECH_ALONE = "By speech alone."

NOTHING_TOLD = "the aircraft has sent nothing yet"

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


ALL_IS_SET = "The flow is done: everything is set."


def no_longer_so(challenge: str, shown: str) -> str:
    return f"{challenge} is no longer as you said: {shown}."


def flow_missed(names: str) -> str:
    return f"Not done in the flow: {names}."


def flow_mistaken(names: str) -> str:
    return f"Moved, but not part of the flow: {names}."


def flow_back(names: str) -> str:
    return f"Moved, and moved back: {names}."


def flow_unknown(names: str) -> str:
    return f"Not seen in the flow: {names}."


OTHER_MACHINES_MAY_SEND = "Other machines may send state only with a token."

GIVE_A_TOKEN = "Give a token, or accept state from this machine only."


def no_state_can_received(port: object, reason: object) -> str:
    return f"No state can be received: port {port} cannot be used ({reason})."


CHOOSE_ANOTHER_STATE_PORT = "Choose another with --state-port."


def state_recording_unreadable(path: object, why: object) -> str:
    return f"{path}, line 1: the recording cannot be read ({why})."


RECORD_ONE_CALLOUT_STATE = "Record one with `callout state record FILE`."


def line_1_not_recording(path: object) -> str:
    return f"{path}, line 1: this is not a recording of the aircraft's state."


def some_entries_come_times(path: object) -> str:
    return f"{path}: some entries come at times and some at items."


MAKE_TWO_RECORDINGS = "Make two recordings of it."


def entry_needs(path: object, line: object) -> str:
    return f'{path}, line {line}: an entry needs "line", and either "at" or "asked".'


DELETE_LINE_RECORD_STATE = "Delete the line, or record the state again."


def try_must_count(path: object, line: object) -> str:
    return f'{path}, line {line}: "try" must be 1, 2, 3 ...'


DELETE_COUNT_FROM_1 = "Delete it, or count from 1."

ONLY_BRIDGE_MAY_CONNECT = "Only a bridge may connect.\n"

THIS_IS_A_WEBSOCKET = "This is a WebSocket.\n"
