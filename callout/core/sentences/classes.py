"""Sentences of the class page, and of what an instructor notes and agrees."""

from __future__ import annotations

NAMES_AND_WORDS = "Say who writes it, whom it is about, and what."
HOW_TO_NOTE = 'callout instructor note NAME "WORDS" --by YOUR_NAME'
NO_STANDARD = "No standard has been chosen: callout instructor standard --at-most 5 --by YOUR_NAME"
NOTHING_AGREED = "There are no open actions."
NO_PERSON_STANDS_OUT = (
    "Nobody's slips differ from chance yet; the last column says how large a difference would show."
)
NO_LIST_FAULT = (
    "No item goes wrong for most people. It takes three people with eight runs each to tell."
)
PEOPLE_OR_LISTS = (
    "An item that goes wrong for most people points to a fault in the list, not in a person: "
    "it is not repeated under people."
)


def no_open_action(number: int) -> str:
    return f"There is no open action {number}."


def open_ones(known: str) -> str:
    return f"Open: {known}." if known else "None is open."


def class_lead(people: int, sessions: int) -> str:
    crew = "1 person" if people == 1 else f"{people} people"
    return f"{crew}, {sessions} session{'' if sessions == 1 else 's'}."


def actions_due(due: int, left: int) -> str:
    if not left:
        return NOTHING_AGREED
    count = "1 agreed action is" if left == 1 else f"{left} agreed actions are"
    if due == left:
        return f"{count} open and due."
    return f"{count} open, {due} of them due." if due else f"{count} open."


def lists_to_repair(count: int) -> str:
    items = "1 item goes" if count == 1 else f"{count} items go"
    return f"{items} wrong for most people: repair the list first."


def below_standard(count: int) -> str:
    people = "1 person has" if count == 1 else f"{count} people have"
    return f"{people} not reached the standard."


def standard_words(percent: float, critical: int, sessions: int) -> str:
    slips = "no deviation" if critical == 0 else f"at most {critical} deviations"
    return (
        f"Standard: over the latest {sessions} sessions at most {percent:g} % of items with a "
        f"deviation, and {slips} at critical items."
    )


def noted(number: int, kind: str, trainee: str) -> str:
    about = f", {trainee}" if trainee else ""
    return f"Written down as number {number}: {kind}{about}. It comes back on the class page."


def settled(number: int) -> str:
    return f"Action {number} is settled."
