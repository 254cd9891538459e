"""What the aircraft's own state shows, beside what is said."""

from __future__ import annotations

from pathlib import PurePath

STATE_LOST = "The aircraft is sending nothing. Replies count by speech alone."

NOTHING_COMES = "The aircraft is sending nothing."

START_THE_BRIDGE = "Start its bridge, or answer by speech alone."

BY_SPEECH_ALONE = "By speech alone."

NO_STATE_YET = "the aircraft has sent nothing yet"

DEPENDS_ON_REPLY = "it depends on the reply"


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


def position_of(label: str, position: str) -> str:
    return f"the {label} is {position}"


ALL_IS_SET = "The flow is done: everything is set."


def no_longer_so(challenge: str, shown: str) -> str:
    return f"{challenge} is no longer as you said: {shown}."


def flow_missed(names: str) -> str:
    return f"Not done in the flow: {names}."


def flow_extra(names: str) -> str:
    return f"Moved, but not part of the flow: {names}."


def flow_undone(names: str) -> str:
    return f"Moved, and moved back: {names}."


def flow_unseen(names: str) -> str:
    return f"Not seen in the flow: {names}."


TOKEN_REQUIRED = "Other machines may send state only with a token."

TOKEN_HINT = "Give a token, or accept state from this machine only."


def state_port_unusable(port: int, reason: str | None) -> str:
    return f"The aircraft's state cannot be received: port {port} cannot be used ({reason})."


STATE_PORT_HINT = "Choose another port with --state-port."


def state_recording_unreadable(path: PurePath, why: str) -> str:
    return f"{path}, line 1: the recording cannot be read ({why})."


STATE_RECORDING_HINT = "Record one with `callout state record FILE`."


def not_a_state_recording(path: PurePath) -> str:
    return f"{path}, line 1: this is not a recording of the aircraft's state."


def times_and_items_mixed(path: PurePath) -> str:
    return f"{path}: some entries give a time and others an item."


TIMES_AND_ITEMS_HINT = "Make two recordings, one of each kind."


def entry_incomplete(path: PurePath, line: int) -> str:
    return f'{path}, line {line}: an entry needs "line", and either "at" or "asked".'


ENTRY_HINT = "Delete the line, or record the state again."


def try_not_a_count(path: PurePath, line: int) -> str:
    return f'{path}, line {line}: "try" must be 1, 2, 3 ...'


TRY_HINT = "Delete it, or count from 1."

BRIDGE_ONLY = "Only a bridge may connect.\n"

WEBSOCKET_ONLY = "This is a WebSocket.\n"
