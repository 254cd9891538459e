"""What is wrong with a list, an overlay or flight data, and how to correct it."""

from __future__ import annotations

ONE_LIST_HINT = "Keep one list per file; delete the line with the three dashes."

EMPTY_FILE_HINT = "Start from an example in checklists/."

NOT_TEXT_HINT = "Save the file as plain UTF-8 text."

QUOTE_BRACES = "Put quotes around text that begins with a brace or bracket."

KEY_TWICE_HINT = "Delete one of the two."

QUOTE_REFERENCES = "Write the text in full; put quotes around it if it begins with & or *."

QUOTE_EXCLAMATION_MARK = "Put quotes around text that begins with an exclamation mark."

TOO_DEEP_HINT = "Use fewer levels."

TOO_LONG_HINT = "Split the file."

TABS_HINT = "Use spaces instead of tabs."

QUOTE_COLON_AND_SPACE = "Put quotes around text that contains a colon followed by a space."

QUOTE_RESERVED_SIGNS = "Put quotes around text that begins with @, `, % or a tab."

OPEN_QUOTES_HINT = "Close the quotes or brackets opened above."

SYNTAX_HINT = "Check that the keys line up, and that each has a colon and a space after it."

ENTRIES_HINT = "Write each entry on its own line, beginning with a dash and a space."


def must_be_list_of(key: str, noun: str) -> str:
    return f"{key} must be a list of {noun}."


def must_hold(key: str, limits: str, count: int) -> str:
    return f"{key} must hold {limits}; it holds {count}."


COUNT_HINT = "Add what is missing, or split what is too long."

NAMED_VALUES_HINT = "Write a name, a colon and a value on each line."


def must_hold_one_a_line(key: str, noun: str) -> str:
    return f"{key} must hold {noun}, one on each line."


def must_be_keys(name: str) -> str:
    return f"{name} must be keys with values."


def has_no_key(name: str, key: str) -> str:
    return f'{name} has no "{key}".'


def known_keys(names: str) -> str:
    return f"Known keys: {names}."


BRACES_HINT = "Put quotes around text that contains braces."


def write_key(key: str) -> str:
    return f"For example, write `{key}: ...`."


TRAINING_AID = "Training aid. The approved manual always rules."


def respond_with_what_you_see(pad: str) -> str:
    return f"{pad}  # What do you see when it is right? Write that as the response."


def given_in_two_units(name: str, unit: str, other: str) -> str:
    return f'{name} is given in "{unit}" and in "{other}".'


UNIT_TWICE_HINT = "Write the unit once."

SAME_NAME_HINT = "Give one of them another name."

UNKNOWN_QUANTITY_HINT = "Add it to the quantities."

CIRCLE_HINT = "Give one of them as a number."

PLACE_HINT = "Give both `across:` and `up:`, or neither."

ROW_KEYS_HINT = "Give every row the same keys."


def row_key_hint(key: str) -> str:
    return f"Write `{key}:` in each row."


ROW_ORDER_HINT = "Put the rows in rising order, with no value twice."

DECLARED_TWICE_HINT = "Delete one of them."

LOOK_UP_TWICE_HINT = "Choose one of the two."

COMPARISON_HINT = "Write `greatest: {left: fuel_left, right: fuel_right}`."

EXAMPLE_COMPARISON = 'For example, write "v1 <= rotate_speed".'

ITEMS_AND_SECTIONS_HINT = "Move the items into a section, or remove the sections."

NO_ITEMS_HINT = "Add `items:` and, below it, one `- id: ...` for each line of the list."


def flow_method_hint(method: str) -> str:
    return f"Write `method: {method}`, or delete the flow."


EXAMPLE_CONDITION = 'For example, write "night and not turnaround".'

EXAMPLE_SUM = 'For example, write "fuel_left + fuel_right".'

EXAMPLE_SLOT = 'For example, write "flaps {takeoff_flap}".'

EXAMPLE_TEXT_OR_VALUE = "Write `text: flaps {takeoff_flap}` or `value: qnh`."

EXAMPLE_PROOF = "For example, write `beacon == on`."

NO_RESPONSE_HINT = "Write `response: on`, or `leads:` for a question."

REPLY_KEYS_HINT = "Move them to the `reply:` of the lead they belong to."

PROOF_OF_QUESTION_HINT = "Give the proof to an item that it leads to."

ALONE_HINT = "Delete `alone: yes`."

EXAMPLE_POSITIONS = "For example, write `positions: [up, down]`."


def sections_and_ends(names: str) -> str:
    return f"Sections and ends: {names}."


LEAD_BACK_HINT = "Lead to a later section, or to an end."

ROUTE_NAMES_HINT = "Give each a name of its own."


def more_problems(more: int, file: str) -> str:
    return f"\n  {more} more: run `callout check {file}` to see them."


EMPTY_VALUE_HINT = "Write something after the colon, or delete the line."

TOO_MANY_WORDS_HINT = "Say it in fewer words."

UNUSUAL_CHARACTER_HINT = "Retype the line by hand."


def write_example(text: str) -> str:
    return f'For example, write "{text}".'


def must_be_not(key: str, wanted: str, text: str) -> str:
    return f'{key} must be {wanted}, not "{text}".'


def write_yes_or_no(key: str) -> str:
    return f"Write `{key}: yes` or `{key}: no`."


def choose_from(names: str) -> str:
    return f"Choose from: {names}."


def write_example_value(key: str, value: int) -> str:
    return f"For example, write `{key}: {value}`."


def write_version(key: str, version: int) -> str:
    return f"Write `{key}: {version}`; if the file is newer than that, update callout."


def did_you_mean(best: str) -> str:
    return f'Did you mean "{best}"?'


QUOTE_SYMBOLS_HINT = "Put quotes around it if it contains braces, brackets or a colon."


def must_be_text(key: str, what: str) -> str:
    return f"{key} must be text; it is {what}."
