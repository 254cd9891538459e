"""What commands answer in the terminal."""

from __future__ import annotations

from pathlib import PurePath

NOT_ENOUGH_MEMORY = "There is not enough memory for this."

OUT_OF_MEMORY_HINT = "Ask for less at once."

DEBUG_HINT = "To see where it failed, run `callout --debug ...`."


def model_was_inside(folder: str) -> str:
    return f"The model was in a subfolder, at {folder}."


ENGLISH_USES_MODEL = "English replies now use this model."

ENGLISH_DOES_NOT_USE_MODEL = (
    "English replies do not use this model. If it is for English, install it with --language en."
)

NO_VOSK_MODEL = "No Vosk model is installed."

BUILT_IN_IS_USED = "For English, callout uses its built-in recogniser where that runs."


def probably_right(said: str) -> str:
    return f"Probably right, but not accepted: {said}."


DEMO_INTRODUCTION = (
    "Recordings stand in for the microphone. Everything else is as in your own session."
)

DEMO_JOURNAL_APART = "Its journal is kept apart, and no report counts it unless you name it."

DEMO_CUT_SHORT = "The demonstration ended before its list was complete."

WAIT_BY_LOT = (
    "{} chosen at random wait until you have flown: your later flights then show "
    "whether drills help."
)

CHANCE_OF_SLIP = (
    "The fractions: how likely a slip is if you were asked now, judging by your journals. "
    "They are told no finer than measurements bear out."
)

DRILL_DEMO_CUT_SHORT = "The demonstration ended before its drill was over."


def no_lists(where: PurePath | str) -> str:
    return f"There are no lists in {where}."


GETTING_READY = "Getting ready ..."

START_MENU = "\nWhat would you like to do? First time here? Take 1, 2, 3 and 4 in turn.\n"

TOOL_VOICE_BEGINS = "Say nothing for about half a minute. Leave the speaker at your usual volume."


def setting_kept(file: PurePath, key: str, value: str) -> str:
    return f'Saved in {file}: {key} = "{value}".'


ONE_OR_THE_OTHER = "Use one or the other."


def voice_takes(name: str, takes: int, words: int) -> str:
    return f"{name}: {takes} takes of {words} words."


def voice_deleted(name: str) -> str:
    return f"The voice of {name} is deleted."


def settings_still_name(file: PurePath, name: str) -> str:
    return f"{file} still names {name}."


REMOVE_THE_LINE = "Remove that line; otherwise no session can start."


def model_cannot_be_used(name: str) -> str:
    return f"{name} cannot be used."


UNENCRYPTED_ADDRESS = (
    "This address is not encrypted: compare the SHA-256 below with the publisher's."
)

TRYING_MODEL = "Loading it once to see whether it works; a large model takes minutes ..."

FILE_EXISTS_HINT = "Choose another name, or use --replace."


def file_exists(file: PurePath) -> str:
    return f"{file} already exists."


NOTHING_WRITTEN = "Nothing was written."

NO_ITEMS_ENTERED = "A list needs at least one item."


def setting_changed(key: str, file: PurePath) -> str:
    return f"{key} changed in {file}."


def not_fully_read(lines: str, fault: str) -> str:
    return f"{lines} not fully read: {fault}."


def cannot_be_written(file: PurePath, why: str | None) -> str:
    return f"{file} cannot be written ({why})."


RECORDING_EXISTS_HINT = "Name a file that does not exist yet."


def saved_in(messages: str, file: PurePath) -> str:
    return f"{messages} saved in {file}."


NO_WORDING_TO_ACCEPT = "There is nothing to accept: every reply that seemed right was accepted."


def has_no_item(title: str, item: str) -> str:
    return f'{title} has no item "{item}".'


def its_items(names: str) -> str:
    return f"Its items: {names}."


ADD_LIST_ITSELF = "Add it to the list itself."

NOT_ACCEPTED = "Not accepted."

NO_OWN_WORDINGS = "You have accepted no wording of your own yet."


def no_such_wording(number: int, count: int) -> str:
    return f"There is no wording {number}; there are {count}."


def said_then_right(list_: str, item: str, words: str, right: str) -> str:
    return f'{list_}, {item}: you said "{words}", then "{right}".'


UNSURE_REPLY_HINT = "  Callout was not sure of these words. Check them."

ACCEPT_NEXT_TIME = "  Accept this next time?"

WORDING_DECLINED = "  Not accepted. You will not be asked about it again."


def critical_means_it_is_so(item: str, words: str) -> str:
    return f'  {item} is critical. Does "{words}" always mean that it is set as it must be?'


ACCEPT_ANYWAY = "  Accept it anyway?"
