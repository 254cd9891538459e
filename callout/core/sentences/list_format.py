"""What is wrong with a list, an overlay or flight data, and how to correct it."""

from __future__ import annotations

KEEP_ONE_LIST_PER = "Keep one list per file; delete the line with the three dashes."

START_FROM_EXAMPLE_CHECKLISTS = "Start from an example in checklists/."

SAVE_FILE_AS_PLAIN = "Save the file as plain UTF-8 text."

QUOTE_BRACES = "Put quotes around text that begins with a brace or bracket."

DELETE_ONE_TWO = "Delete one of the two."

QUOTE_REFERENCES = "Write the text in full; put quotes around it if it begins with & or *."

QUOTE_EXCLAMATION_MARK = "Put quotes around text that begins with an exclamation mark."

USE_FEWER_LEVELS = "Use fewer levels."

SPLIT_FILE = "Split the file."

USE_SPACES_INSTEAD_TABS = "Use spaces instead of tabs."

QUOTE_COLON_AND_SPACE = "Put quotes around text that contains a colon followed by a space."

QUOTE_RESERVED_SIGNS = "Put quotes around text that begins with @, `, % or a tab."

CLOSE_QUOTES_BRACKETS_OPENED = "Close the quotes or brackets opened above."

CHECK_KEYS_LINE_UP = "Check that the keys line up, and that each has a colon and a space after it."

WRITE_EACH_ENTRY_ON = "Write each entry on its own line, beginning with a dash and a space."


def must_be_list_of(key: object, noun: object) -> str:
    return f"{key} must be a list of {noun}."


def must_hold(key: object, limits: object, count: object) -> str:
    return f"{key} must hold {limits}; it holds {count}."


ADD_WHAT_MISSING_SPLIT = "Add what is missing, or split what is too long."

WRITE_ONE_NAME_COLON = "Write one name, a colon and a value on each line."


def must_hold_one_a_line(key: object, noun: object) -> str:
    return f"{key} must hold {noun}, one on each line."


def must_be_keys(name: object) -> str:
    return f"{name} must be keys with values."


def has_no_key(name: object, key: object) -> str:
    return f'{name} has no "{key}".'


def known_keys(names: object) -> str:
    return f"Known keys: {names}."


PUT_QUOTES_AROUND_TEXT = "Put quotes around text that contains braces."


def write_key(key: object) -> str:
    return f"For example, write `{key}: ...`."


TRAINING_AID = "Training aid. The approved manual always rules."


def respond_with_what_you_see(pad: object) -> str:
    return f"{pad}  # What do you see when it is right? Write that as the response."


def given_in_two_units(name: object, unit: object, other: object) -> str:
    return f'{name} is given in "{unit}" and in "{other}".'


WRITE_UNIT_ONCE = "Write the unit once."

GIVE_ONE_THEM_ANOTHER = "Give one of them another name."

ADD_QUANTITIES = "Add it to the quantities."

GIVE_ONE_THEM_AS = "Give one of them as a number."

GIVE_BOTH_ACROSS_UP = "Give both `across:` and `up:`, or neither."

GIVE_EVERY_ROW_SAME = "Give every row the same keys."


def write_in_each_row(key: object) -> str:
    return f"Write `{key}:` in each row."


PUT_ROWS_RISING_ORDER = "Put the rows in rising order, with no value twice."

DELETE_ONE_THEM = "Delete one of them."

CHOOSE_ONE_TWO = "Choose one of the two."

WRITE_GREATEST = "Write `greatest: {left: fuel_left, right: fuel_right}`."

EXAMPLE_COMPARISON = 'For example, write "v1 <= rotate_speed".'

MOVE_ITEMS_INTO_SECTION = "Move the items into a section, or remove the sections."

ADD_ITEMS_BELOW_ONE = "Add `items:` and, below it, one `- id: ...` for each line of the list."


def write_method(method: object) -> str:
    return f"Write `method: {method}`, or delete the flow."


EXAMPLE_CONDITION = 'For example, write "night and not turnaround".'

EXAMPLE_SUM = 'For example, write "fuel_left + fuel_right".'

EXAMPLE_SLOT = 'For example, write "flaps {takeoff_flap}".'

EXAMPLE_TEXT_OR_VALUE = "Write `text: flaps {takeoff_flap}` or `value: qnh`."

EXAMPLE_PROOF = "For example, write `beacon == on`."

WRITE_RESPONSE_ON_LEADS = "Write `response: on`, or `leads:` for a question."

MOVE_THEM_REPLY_LEAD = "Move them to the `reply:` of the lead they belong to."

GIVE_PROOF_ITEM_LEADS = "Give the proof to an item that it leads to."

DELETE_ALONE_YES = "Delete `alone: yes`."

EXAMPLE_POSITIONS = "For example, write `positions: [up, down]`."


def sections_and_ends(names: object) -> str:
    return f"Sections and ends: {names}."


LEAD_LATER_SECTION_END = "Lead to a later section, or to an end."

GIVE_EACH_NAME_OWN = "Give each a name of its own."


def more_run_callout_check(more: object, file: object) -> str:
    return f"\n  {more} more: run `callout check {file}` to see them."


WRITE_SOMETHING_AFTER_COLON = "Write something after the colon, or delete the line."

SAY_FEWER_WORDS = "Say it in fewer words."

TYPE_LINE_AGAIN_HAND = "Type the line again by hand."


def write_example(text: object) -> str:
    return f'For example, write "{text}".'


def must_be_not(key: object, wanted: object, text: object) -> str:
    return f'{key} must be {wanted}, not "{text}".'


def write_yes_or_no(key: object) -> str:
    return f"Write `{key}: yes` or `{key}: no`."


def choose_from(names: object) -> str:
    return f"Choose from: {names}."


def write_example_value(key: object, value: object) -> str:
    return f"For example, write `{key}: {value}`."


def write_version(key: object, version: object) -> str:
    return f"Write `{key}: {version}`; if the file is newer than that, update callout."


def did_you_mean(best: object) -> str:
    return f'Did you mean "{best}"?'


PUT_QUOTES_AROUND_IF = "Put quotes around it if it contains braces, brackets or a colon."


def must_be_text(key: object, what: object) -> str:
    return f"{key} must be text; it is {what}."
