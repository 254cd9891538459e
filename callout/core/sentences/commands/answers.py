"""What commands answer in the terminal."""

from __future__ import annotations

NOT_ENOUGH_MEMORY = "There is not enough memory for this."

ASK_LESS_ONCE = "Ask for less at once."

SEE_WHERE_IT_FAILED = "To see where it failed, run `callout --debug ...`."


def model_was_inside(folder: object) -> str:
    return f"The model was in a subfolder, at {folder}."


ENGLISH_REPLIES_NOW_USE = "English replies now use this model."

ENGLISH_REPLIES_DO_NOT = (
    "English replies do not use this model. If it is for English, install it with --language en."
)

NO_VOSK_MODEL_INSTALLED = "No Vosk model is installed."

BUILT_IN_IS_USED = "For English, callout uses its built-in recogniser where that runs."


def probably_right(said: object) -> str:
    return f"Probably right, but not accepted: {said}."


RECORDINGS_STAND_MICROPHONE_EVERYTHING = (
    "Recordings stand in for the microphone. Everything else is as in your own session."
)

DEMO_JOURNAL_APART = "Its journal is kept apart, and no report counts it unless you name it."

DEMONSTRATION_ENDED_BEFORE_LIST = "The demonstration ended before its list was complete."

WAIT_BY_LOT = (
    "{} chosen at random wait until you have flown: your later flights then show "
    "whether drills help."
)

CHANCE_OF_SLIP = "Per cent: the chance of a slip if you were asked now, judging by your journals."

DEMONSTRATION_ENDED_BEFORE_DRILL = "The demonstration ended before its drill was over."


def no_lists(where: object) -> str:
    return f"There are no lists in {where}."


GETTING_READY = "Getting ready ..."

WHAT_WOULD_YOU_LIKE = "\nWhat would you like to do? The first time, take 1, 2, 3 and 4.\n"

BE_QUIET_AT_USUAL_VOLUME = (
    "Say nothing for about half a minute. Leave the speaker at your usual volume."
)


def setting_kept(file: object, key: object, value: object) -> str:
    return f'Saved in {file}: {key} = "{value}".'


USE_ONE_OTHER = "Use one or the other."


def voice_takes(name: object, takes: object, words: object) -> str:
    return f"{name}: {takes} takes of {words} words."


def voice_deleted(name: object) -> str:
    return f"The voice of {name} is deleted."


def settings_still_name(file: object, name: object) -> str:
    return f"{file} still names {name}."


REMOVE_THE_LINE = "Remove that line; otherwise no session can start."


def model_cannot_be_used(name: object) -> str:
    return f"{name} cannot be used."


ADDRESS_NOT_ENCRYPTED_COMPARE = (
    "This address is not encrypted: compare the SHA-256 below with the publisher's."
)

LOADING_ONCE = "Loading it once to see whether it works; a large model takes minutes ..."

CHOOSE_ANOTHER_NAME_USE = "Choose another name, or use --replace."


def is_already_there(file: object) -> str:
    return f"{file} already exists."


NOTHING_WRITTEN = "Nothing was written."

LIST_NEEDS_LEAST_ONE = "A list needs at least one item."


def setting_changed(key: object, file: object) -> str:
    return f"{key} changed in {file}."


def not_fully_read(lines: object, fault: object) -> str:
    return f"{lines} not fully read: {fault}."


def cannot_be_written(file: object, why: object) -> str:
    return f"{file} cannot be written ({why})."


NAME_FILE_DOES_NOT = "Name a file that does not exist yet."


def saved_in(messages: object, file: object) -> str:
    return f"{messages} saved in {file}."


NO_WORDING_TO_ACCEPT = "There is nothing to accept: every reply that seemed right was accepted."


def has_no_item(title: object, item: object) -> str:
    return f'{title} has no item "{item}".'


def its_items(names: object) -> str:
    return f"Its items: {names}."


ADD_LIST_ITSELF = "Add it to the list itself."

NOT_ACCEPTED = "Not accepted."

YOU_HAVE_ACCEPTED_NO = "You have accepted no wording of your own yet."


def no_such_wording(number: object, count: object) -> str:
    return f"There is no wording {number}; there are {count}."


def said_then_right(list_: object, item: object, words: object, right: object) -> str:
    return f'{list_}, {item}: you said "{words}", then "{right}".'


WHAT_HEARD_PERHAPS_WRONGLY = "  This is what was heard, perhaps wrongly. Check the words."

ACCEPT_NEXT_TIME = "  Accept this next time?"

NOT_ACCEPTED_YOU_WILL = "  Not accepted. You will not be asked about it again."


def critical_means_it_is_so(item: object, words: object) -> str:
    return f'  {item} is critical. Does "{words}" always mean that it is set as it must be?'


ACCEPT_ANYWAY = "  Accept it anyway?"
