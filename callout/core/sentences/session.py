"""Around a session: starting and resuming it, and telling it afterwards."""

from __future__ import annotations

from pathlib import PurePath

LAST_STEP_NOT_SAVED = "The last step was not saved. Repeat it once there is space."


def tones_have_stopped(failure: str) -> str:
    return f"The tones have stopped: {failure}"


def journal_is_empty(path: PurePath) -> str:
    return f"The journal {path} is empty: nothing was recorded."


def journal_is_a_drill(path: PurePath) -> str:
    return f"{path} is a drill. Your answers in it count."


def session_finished(path: PurePath) -> str:
    return f"The session in {path} is finished."


def no_unfinished_session(folder: PurePath) -> str:
    return f"There is no unfinished session in {folder}."


START_A_DRILL = "Start a new drill with: callout drill"

START_A_SESSION = "Start one with: callout run, or a flight with: callout fly"


def no_list_of_that_id(first: str, folder: PurePath) -> str:
    return f'There is no list "{first}" in {folder}.'


def the_lists_are(names: str) -> str:
    return f"The lists are: {names}."


NAME_AIRCRAFT_FOLDER = "Name the folder of one aircraft; `callout list` shows those there are."


def holds_no_checklists(folder: PurePath) -> str:
    return f"{folder} holds no checklists."


def overlay_without_list(origin: str, base: str, folder: PurePath) -> str:
    return f'{origin}: there is no list "{base}" in {folder}.'


OVERLAY_NAMES_ITS_LIST = "An overlay names the list it changes."


def id_used_twice(path: PurePath, line: int, id_: str) -> str:
    return f'{path}, line {line}: "{id_}" is also the id of '


ONE_AIRCRAFT_A_FLIGHT = "A flight runs from the folder of one aircraft."


def records_contradict(records: str) -> str:
    return f"The records of {records} contradict one another, so they do not count."


def does_not_count(message: str) -> str:
    return f"{message} It does not count."


def journals_of_several(names: str) -> str:
    return f"The journals are from several people: {names}."


SAY_WHO_PRACTISES = "Say who is practising: --person NAME, or set crew.name in your settings."

NAME_DRILL_FOLDER = "Name the folder of an aircraft's lists: callout drill FOLDER"

NO_ITEM_TO_DRILL = "There is no item to drill in these lists."


def no_recorded_reply(asked: str) -> str:
    return f"The recordings have no further reply for this question ({asked})."


REPLY_YOURSELF = "Give the replies yourself: callout run --help"

NOTHING_LOST_RESUME = "Nothing is lost. Continue with: callout resume"


def never_called_for(names: str) -> str:
    return f"Due and never called for: {names}."


def deviation_counts(counts: str, study: str) -> str:
    return f"Deviations: {counts}. Classes from {study}."


def interrupted_because(why: str) -> str:
    return f"Interrupted ({why})."


ITEMS_THAT_DIFFER = "Items where one trainee differs from the others:"

NO_ITEM_DIFFERS = "The numbers show no difference at any single item."

NO_ITEM_COMPARED = "No item was met often enough by several trainees to compare."

NO_REPLY_TIMED = "No reply was timed."

SIGN_OFF_CHANGED = "{sign_off} was changed."

NAMES_CHANGED = "{journal}: the names or remarks in it were changed."

CHAIN_BROKEN = (
    "{sign_off} does not follow the one before it: a sign-off was changed, removed or added."
)

HASH_NOT_FOUND = (
    "No sign-off has the hash given with --last: the last ones are missing, or all are new."
)

LINE_NOT_A_SIGN_OFF = "Line {line} of the register is not a sign-off."

JOURNAL_CHANGED = "{journal} was changed after it was signed."

REST_MISSING = "{journal} and everything after it are missing."

JOURNAL_NOT_FOUND = "{journal} was not found."

ADDED_AFTER_SIGNING = "{journal} holds what was signed, and more was added later."

FORGOTTEN_ON_REQUEST = (
    "{sign_off}: names or a journal were forgotten on request; its hash still holds."
)

REMOVED_BY_HAND = (
    "{sign_off}: names or a journal were removed by hand; nothing proves that this was requested."
)


def drill_began(count: str, waits: str) -> str:
    return f"Drill began: {count}{waits}."


def drill_over(value: str) -> str:
    return f"Drill over ({value})."


SKIPPED = "  Skipped."


def list_paused(session_id: str) -> str:
    return f"Paused: {session_id}."


def how_to_read_brackets(study: str) -> str:
    return f"Brackets: 95 % intervals. Classes of deviation from {study}."


NOTHING_STANDS_OUT = "Nothing that chance would not explain."

STATE_NETWORK_WARNING = (
    "Anyone on this network who has the token can report the position of the controls, "
    "and nothing is encrypted. Use it only on a network you trust."
)

NO_STATE_DECLARED = "The flight data declare no state, so no reply can be checked against it."

ADD_STATE = "Add `state:` to flight.yaml; checklists/README.md shows how."


def no_simulated_aircraft(folder: PurePath) -> str:
    return f"There is no simulated aircraft for {folder}."


SIMULATED_AIRCRAFT = "There are: halvern-seventy, sandling-two, tarnbeck-one."


def its_parts(names: str) -> str:
    return f"It has {names}."


def no_such_part(name: str) -> str:
    return f'The aircraft has no "{name}".'
