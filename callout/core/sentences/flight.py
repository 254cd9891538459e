"""In a flight, between its lists."""

from __future__ import annotations

FLIGHT_ENDED = "Flight ended."

CALL_FOR_A_LIST = "Call for a list by name, or call out the point in the flight."

NOTHING_WAITING = "No list is open, so nothing is waiting for an answer."

NO_LIST_OPEN = "No list is open."


def no_such_list(name: str) -> str:
    return f'No list is called "{name}".'


def taken_over(state: str) -> str:
    return f"Aircraft taken over: {state}."


NOTHING_CARRIED_OVER = "Nothing the previous crew did counts."


def was_called_for(title: str) -> str:
    return f"{title} was called for"


def list_gone(list_id: str) -> str:
    return f'The list "{list_id}" no longer exists.'


CHECK_FOLDER = "Check the folder."


def cannot_run(why: str, remedy: str) -> str:
    return f"This list cannot run: {why} {remedy}"


def list_paused(title: str) -> str:
    return f"{title} paused."


NO_MEMORY_ITEMS = "No list for this aircraft has memory items."

ALL_COMPLETE = "All lists are complete."


def paused_say_name(title: str) -> str:
    return f"{title} is paused. Say its name to resume it."


def not_completed(titles: str) -> str:
    return f"Not completed: {titles}."


def now_due(titles: str) -> str:
    return f"Now due: {titles}."


def due_again(title: str, items: str) -> str:
    return f"Due again: {title}{items}."


def say_to_begin(phrase: str) -> str:
    return f'Say "{phrase}" or "next" to begin it, or "help".'


NO_LIST_AFTER = "No list comes after this one."


def already_complete(moment: str, titles: str) -> str:
    return f"{moment}: {titles} already complete."


def due_at_moment(moment: str, titles: str, phrase: str) -> str:
    return f'{moment}: {titles} due. Say "{phrase}".'


def run_anyway(missing: str, title: str) -> str:
    return f"{missing} Run {title} anyway? Yes or no?"


def is_it_meant(title: str) -> str:
    return f"Do you mean {title}? Yes or no?"


THIS_LIST = "This list?"


def run_again(title: str) -> str:
    return f"{title} is already complete. Run it again? Yes or no?"


def end_the_flight(state: str) -> str:
    return f"End the flight? {state} Yes or no?"


OUT_OF_ORDER = "Out of order. Run it anyway?"

RUN_IT_AGAIN = "Run it again?"

END_THE_FLIGHT = "End the flight?"


def next_list(title: str, when: str) -> str:
    return f"Next: {title}{when}."


TYPE_POINT = "Write it without a comma: 1900, or 1.9 with a point."

TYPE_CODE = "Four digits, each from 0 to 7."


def type_number(unit: str) -> str:
    return f"A number in {unit}." if unit else "A number, with its unit if it has one."


def not_a_number(name: str) -> str:
    return f"This is not a number for the {name}."


def not_possible(name: str) -> str:
    return f"The {name} cannot be that."


def between(least: int, most: int, unit: str) -> str:
    return f"It is between {least} and {most:,}{f' {unit}' if unit else ''}."


def too_many_digits(name: str) -> str:
    return f"The {name} has fewer digits."


def digits_of(count: int) -> str:
    return f"It has {count} digits."


def type_in_unit(unit: str) -> str:
    return f"Type it in {unit}."


def other_measure(unit: str, own: str) -> str:
    return f"{unit} does not measure the same as {own}."


def the_same_as(given: str, same: str) -> str:
    return f"{given} is {same}."


def may_differ(amount: str) -> str:
    return f"A reply may differ by {amount}."


def comes_from(source: str) -> str:
    return f"From {source}."


def worked_out_from(names: str) -> str:
    return f"Follows from {names}."


CHANGED_MEANWHILE = "This was changed meanwhile, in another tab or on the disk."


def now_is(value: str) -> str:
    there = f"It is {value} there now." if value else "It is empty there now."
    return f"{there} Save again to replace it."


NEEDS_A_WORD = "Type a word, or leave it as it was."

AS_TEXT_INSTEAD = "This cannot be put into the file here. Change it under As text."

FLIGHT_UNREADABLE = "The flight data cannot be read."

MEND_AS_TEXT = "Mend them under As text."
