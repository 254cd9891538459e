"""Debriefs, trends and comparisons."""

from __future__ import annotations

from datetime import datetime
from pathlib import PurePath

DEVIATIONS_COUNTED = (
    "Items skipped, answered wrongly, called set but not set, or taken out of order, "
    "as a share of the items met."
)

BRACKETS_EXPLAINED = (
    "In brackets: the range in which the true share lies (95 %; each session counts as a whole)."
)

TRAINEE_ORDER_EXPLAINED = (
    "Trainees are in order of name, not of merit. Where ranges overlap, nobody is "
    "shown to be better."
)


def median_reply_of(middle: float, bounds: str, count: int) -> str:
    return f"Median reply {middle:.1f} s{bounds} ({count} replies)."


def namesake(name: str, number: int) -> str:
    return f"{name}, no. {number}"


GETTING_BETTER = "Is it getting better?"


def pairs_without_difference(count: int, of: int) -> str:
    return f"{count} of {of} pairs: no difference shown."


MATPLOTLIB_MISSING = "Charts need the Matplotlib library."


def taught_and_hands(taught: str, hands: str) -> str:
    return f"Taught order: {taught}. Your order: {hands}."


def classes_follow(study: str) -> str:
    return f"The classes follow {study}."


JINJA2_MISSING = "An HTML report needs the Jinja2 library."


def reply_time_at(items: str, known: int) -> str:
    return f"Reply time at {items}; your usual time is known at {known}."


SCIPY_MISSING = "Trends need the SciPy library."


def reply_times(told: str) -> str:
    return f"Reply times: {told}."


METHOD_SHARES = (
    "Shares come with 95 % Wilson score intervals (Wilson 1927), widened where items "
    "of one session are alike (design effect; Dean and Pagano, Survey Methodology "
    "41:189, 2015)."
)

METHOD_LIKELY = (
    "Likely shares of items: one hierarchical model of person, list, item and time, each item with "
    "its own aircraft, its whole distribution worked out on a grid; slips of one session count as "
    "alike as they are. Of one person it uses that person's sessions and fixed assumptions alone."
)

METHOD_HABITS = (
    "Habits at an item: Fisher's exact test against the person's other items. Slow "
    "items: Mann and Whitney's test against the person's other items. Both corrected "
    "together for all items of the person (Benjamini and Hochberg 1995, 5 % false "
    "findings), then whether errors at an item gather early or late, corrected in the "
    "same way."
)

METHOD_CHANGES = (
    "Better or worse over time: one penalised regression with an effect for each item "
    "and list, time within each item, and errors by session (Liang and Zeger 1986; "
    "Bell and McCaffrey 2002). It does not use when something was practised, nor who "
    "else is in the folder."
)

METHOD_GROUPS = (
    "Two groups: the same regression, with the group in place of the time. It compares the "
    "same person in the same aircraft where there is enough of that, and says what it held "
    "alike. Corrected for the number of comparisons (Holm 1979)."
)

SAME_PERSON_AND_ITEM = "With the same people at the same items"
SAME_PERSON_AND_AIRCRAFT = "With the same people in the same aircraft"
SAME_PERSON = "With the same people, but not in the same aircraft,"
SAME_AIRCRAFT = "In the same aircraft, but not with the same people,"
NOTHING_ALIKE = "With other people in other aircraft"


def two_groups(first: str, one: str, second: str, other: str, *, differ: bool) -> str:
    verdict = "they differ" if differ else "no difference shown"
    return f"{first} {one} and {second} {other}: {verdict}."


def odds_of_groups(alike: str, times: str, span: str) -> str:
    return f"{alike} the odds of the second are {times} times those of the first ({span})."


def least_share(share: float) -> str:
    return f"Where one has none, the other would need {100 * share:.1f} % or more to show."


def least_difference(least: str) -> str:
    return f"A difference of {least} times, or one in {least}, would be shown four times in five."


METHOD_TOO_FAST = (
    "Too fast: much sooner than the person's own usual replies. It is shown separately "
    "and is not a deviation."
)


def change_between(
    said: str,
    before: str,
    first: datetime,
    after: str,
    last: datetime,
    what: str,
    span: str,
    sessions: int,
) -> str:
    return (
        f"{said} At the same items from about {before} ({first:%Y-%m-%d}) to {after} "
        f"({last:%Y-%m-%d}): {what} {span}, {sessions} sessions."
    )


def change_factor(said: str, span: str, sessions: int, least: float) -> str:
    return (
        f"{said} At the same items it is now {span} what it was, over {sessions} sessions. "
        f"Only a change by a factor of {least:.2g} or more, up or down, would show four "
        "times in five."
    )


def no_change_shown(since: str, sessions: int) -> str:
    return f"{since}: no change that {sessions} sessions could show."


def tonight(challenge: str, list_name: str, kind: str) -> str:
    return f"Tonight: {challenge} in {list_name} ({kind}); callout drill puts it where it helps."


NO_CHANGE_SHOWN = "No change shown."

GETS_BETTER = "Gets better."

GETS_WORSE = "Gets worse."


def too_few_sessions(count: int, fewest_sessions: int) -> str:
    return f"Too few sessions to tell: {count}; at least {fewest_sessions} are needed."


TOO_LITTLE_VARIATION = "There is too little variation to tell."

NO_ITEM_MET_TWICE = "No item came up twice, so no change can be measured."


def no_error_in(count: int, percent: float) -> str:
    return f"No error in {count} runs; the true share may still be up to {percent:.1f} %."


def no_sessions_in(where: str) -> str:
    return f"There are no sessions in {where}."


def too_many_items(collection: PurePath, count: float) -> str:
    return (
        f"{collection} holds {count:,} items of these people, too many to hold in memory at once."
    )


SEE_SESSIONS_HINT = "Run `callout journal` to see your sessions."

NO_LIST_CALLED = "No list was called for."


def nothing_to_debrief(path: PurePath) -> str:
    return f"There is nothing to debrief in {path}."


def debrief_so_far(stem: str) -> str:
    return f"{stem} is still running. This is the debrief so far."


def earlier_session_instead(message: str) -> str:
    return f"{message} Here is an earlier session instead."


MOSTLY_LEFT_OUT = "It is mostly left out: say when it does not apply, or remove it from the list."

MOSTLY_OUT_OF_ORDER = "It is mostly taken out of order: move it to where the hand reaches it."


def accept_also(words: str) -> str:
    return f'If "{words}" is right too, accept it (also:).'


def proposed_wording(words: str) -> str:
    return f' Proposed wording: "{words}".'


SUMMARY_NOT_SPOKEN = "The summary could not be read aloud."


def nothing_found_yet(need: str, runs: int) -> str:
    return f"Nothing is found yet because {need}; there are {runs}."


def not_even_always_wrong(runs: int) -> str:
    return f"With {runs} runs of an item, even one that always goes wrong would not be found."


def power_of_runs(runs: int, percent: float) -> str:
    return (
        f"With {runs} runs of an item, one that goes wrong {percent:.0f} % of the time is "
        "found four times in five; one that goes wrong less often is easily missed."
    )


NO_JOURNALS_HINT = "Name folders that hold journals."

NO_TRAINEES_HINT = "Name the folders that hold the trainees' journals."

NO_MATCH_HINT = "Leave out an option; `callout journal` shows your sessions."

NO_MATCH = "No session matches these options."

NO_SESSIONS_YET = "No sessions yet."

NAME_A_GROUP = "Name a phase, a list, or an item as LIST/ITEM, written as in the report."


def no_group_called(name: str) -> str:
    return f'No session has a phase, list or item "{name}".'
