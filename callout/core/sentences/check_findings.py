"""What the check finds in a list."""

from __future__ import annotations

from decimal import Decimal

CORRECT_CONDITION_ASKS_BOTH = "Correct the condition; `and` asks for both, `or` for either."


def always_applies_true_every(name: object, text: object) -> str:
    return f'{name} always applies: "{text}" is true in every set-up.'


DELETE_CONDITION_CORRECT = "Delete the condition, or correct it."


def repeats_list_condition(name: object, condition: object) -> str:
    return f'{name} repeats the condition of the whole list: "{condition}".'


DELETE_HERE = "Delete it here."

MAKE_CONDITIONS_EXCLUDE_ONE = (
    "Make the conditions exclude one another: `when: night` and `when: not night`."
)


def depends_on_facts_may(name: object, count: object, most_facts: object) -> str:
    return f"{name} depends on {count} facts; it may depend on {most_facts} at most."


ONE_FACT_FOR_CASE = "Name this case with one fact of its own in the flight file."

NOBODY_ASKED = "Lead to its section, or delete it: nobody would ever be asked."

LEAD_DELETE_FROM_ENDS = "Lead to it, or delete it from `ends:`."

NAME_ONE_UNDER_ENDS = "Name one under `ends:`, and lead to it with `then:`."

MAKE_ITEM_RESPONSE_LEAD = "Make it an item with a `response:`, or lead one answer elsewhere."


def table_gives_otherwise(
    said: object, right: Decimal, by: object, at: Decimal, unit: object
) -> str:
    return f"{said}, but the table gives {right:f} for a {by} of {at:f} {unit}."


DELETE_FOR_TABLE = "Delete the value; callout then reads it from the table."

CORRECT_ADD_ROWS_MISSING = "Correct it, or add the rows that are missing."

CORRECT_NUMBERS = "Correct the numbers."

SPLIT_INTO_TWO_LISTS = "Split it into two lists at a natural pause of the flight."


def items_without_break(name: object, count: object) -> str:
    return f"{name} has {count} items without a break."


def make_sections(most: object) -> str:
    return f"Make sections of at most {most} items, one per system or panel."


MOVE_UP_OR_CRITICAL = "Move it up, or make the items that must come before it critical too."

FINISH_EACH_PANEL_BEFORE = "Finish each panel before the next, or split the flow."

ADD_PANELS_FLIGHT_FILE = "Add it to `panels:` of the flight file, in scan order."

FOLLOW_PANELS_SCAN_ORDER = "Follow the panels in scan order, from one side to the other."

use_another_word = "For one of the two use another word, such as open, if the manual has one."


def add_to_state(name: object) -> str:
    return f"Add `{name}:` to the state of the flight file."


NAME_QUANTITY_FROM_STATE = "Name a quantity from `state:` in it."

MAKE_BOTH_SAY_SAME = "Make both say the same."

ASK_FOR_STATE = "Ask for the position or value that is seen: `response: on`."

DELETE_ACTUAL_STATUS_NO = "Delete `actual_status: no`."

ADD_WRONG_NAME_OTHER = "Add `wrong:` with the name of the other position."

REWORD_ONE_REPLIES_PUT = "Reword one of the replies, or put another item between them."

CHOOSE_REPLY_OTHER_VOWELS = "Choose a reply with other vowels, or one more word."

JUDGE_IGNORES_IT = "Delete it; the judge ignores it."

DELETE_NOT_USED_THERE = "Delete it; it is not used there."


def take_from_flight(name: object) -> str:
    return f'Take it from the flight: `response: "{{{name}}}"`.'


ASK_ONE_THING_FEW = "Ask for one thing in a few words; keep the rest in `note:`."

SAY_STATE_WANTED_NOT = "Say the state that is wanted, not the one that is not: `response: off`."

NAME_CONTROL_LET_REPLY = "Name the control, and let the reply say it."


def write_complete(call: object) -> str:
    return f"Write `complete: {call}`."


CALLS_OF_ITS_OWN = "Give each list calls of its own, so that nobody runs the wrong one by mistake."

WORD_THE_REPLY = "Delete it, or word it so that it says the reply itself."
