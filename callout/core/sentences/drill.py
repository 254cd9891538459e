"""In a drill."""

from __future__ import annotations

HOLDING = 'Holding. Say "continue" to go on.'


CORRECTLY_REFUSED = "Correct: that was wrong."

TOO_FAST = " Too fast to have looked."

ONCE_MORE = "Once more."

NOT_UNDERSTOOD = "Not understood. This one does not count."

STILL_NOT_UNDERSTOOD = 'Still not understood. Type it, or say "skip".'


def or_type_it(why: str) -> str:
    return f"{why} You can type it too."


LEFT_OUT = "Skipped."


def time_left(exercises: str, minutes: str) -> str:
    return f"{exercises} and {minutes} left."


ANSWER_FIRST = "Answer first; the reason comes afterwards."


def reason_of(name: str, why: str) -> str:
    return f"{name}: {why.rstrip('.')}."


NOT_IN_A_DRILL = "That command does not work in a drill."

INTERRUPTED = "Interrupted. Your answers so far count."


def which_item_comes(title: str, place: str) -> str:
    return f"{title}. Which item comes {place}?"


def right_or_wrong(title: str, lead: str, item: str, stated: str) -> str:
    return f"{title}. {lead}{item}: {stated}. Right or wrong?"


def flight_has(value: str) -> str:
    return f"The flight has {value}. "


def right_first_time(drills: int, shares: str) -> str:
    return f"Right first time in the last {drills} drills: {shares}."


def time_taken(minutes: str) -> str:
    return f"They took {minutes or 'less than a minute'} in all."


def drill_opening(exercises: str, minutes: str) -> str:
    return f"Drill: {exercises}, up to {minutes}."


ALL_FOR_TODAY = "That is all for today."

TIME_IS_UP = "Time is up."


def drill_over(why: str) -> str:
    return f"{why} Drill over."


ANSWER_HIDDEN = "Not answered. The answer stays hidden."


def comes_next(item: str) -> str:
    return f"{item} comes next."


def it_was_wrong(item: str, answer: str) -> str:
    return f"It was wrong: {item} should be {answer}."


def it_was_right(item: str, answer: str) -> str:
    return f"It was right: {item}, {answer}."


REPLY_TO_CHALLENGE = "Reply to the challenge."

SAY_NEXT_ITEM = "From memory, say the item that comes next."

RIGHT_OR_WRONG = "Right or wrong? If wrong, say what it should be."


def flight_value(value: str) -> str:
    return f"The flight has: {value}"


def item_answer(name: str, answer: str) -> str:
    return f"{name}: {answer}."


WHAT_SHOULD_IT_BE = "What should it be?"


SELDOM = "at most 1 in 10"

ONE_IN_SEVEN = "about 1 in 7"

ONE_IN_FOUR = "about 1 in 4"

OVER_A_THIRD = "more than 1 in 3"


def risk_came_true(bands: str) -> str:
    return f"Did the predicted chances of a slip come true? {bands}"


def risk_in_band(told: str, slips: int, count: int, low: float, high: float, as_told: bool) -> str:
    verdict = "as predicted" if as_told else "not as predicted"
    return (
        f"Where {told} was predicted, {slips} of {count} went wrong "
        f"({low:.0f} to {high:.0f} %; {verdict})."
    )


def slips_in_flights(drilled: int, of_drilled: int, waited: int, of_waited: str) -> str:
    return (
        f"In flights: drilled items went wrong {drilled} of {of_drilled} times, "
        f"items left out at random {waited} of {of_waited}."
    )


def drills_help(range_: str) -> str:
    return f"Drills help you: they prevent {range_}."


def drills_do_not_help(range_: str) -> str:
    return f"Drilled items went wrong more often: drills prevent {range_}."


def too_few_flights(range_: str) -> str:
    return f"There is too little data to tell yet: drills prevent {range_}."


def too_many_rows(items: str) -> str:
    return f"There are {items} of these people in the collection, too many to hold at once."


SAY_WHOSE = "Say who practises: --person NAME."


def journals_gone(journals: str) -> str:
    return f"{journals} behind this collection cannot be found, so its list is not drilled."


def names_no_journals(where: str) -> str:
    return f"{where} is a folder of tables that names no journals, so nothing can be asked."


NAME_THE_FILE = "Name the collection's file: callout collect --into FILE makes one."
