"""Debriefs, trends and comparisons."""

from __future__ import annotations

from datetime import datetime

DEVIATIONS_COUNTED = (
    "Items skipped, answered wrongly, called set but not set, or taken out of order, "
    "as a share of the items met."
)

BRACKETS_RANGE_WHICH_TRUE = (
    "In brackets: the range in which the true share lies (95 %; each session counts as a whole)."
)

TRAINEES_ORDER_NAME_NOT = (
    "Trainees are in order of name, not of merit. Where ranges overlap, nobody is "
    "shown to be better."
)


def median_reply_of(middle: float, bounds: object, count: object) -> str:
    return f"Median reply {middle:.1f} s{bounds} ({count} replies)."


GETTING_BETTER = "Is it getting better?"


def pairs_without_difference(count: object, of: object) -> str:
    return f"{count} of {of} pairs: no difference shown."


CHARTS_NEED_MATPLOTLIB_LIBRARY = "Charts need the Matplotlib library."


def taught_and_hands(taught: object, hands: object) -> str:
    return f"Taught order: {taught}. Your order: {hands}."


def classes_follow(study: object) -> str:
    return f"The classes follow {study}."


HTML_REPORT_NEEDS_JINJA2 = "An HTML report needs the Jinja2 library."


def reply_time_at(items: object, known: object) -> str:
    return f"Reply time at {items}; your usual time is known at {known}."


TRENDS_NEED_SCIPY_LIBRARY = "Trends need the SciPy library."


def reply_times(told: object) -> str:
    return f"Reply times: {told}."


METHOD_SHARES = (
    "Shares come with 95 % Wilson score intervals (Wilson 1927), widened where items "
    "of one session are alike (design effect; Dean and Pagano, Survey Methodology "
    "41:189, 2015)."
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
    "Two groups: their shares, each session counted as a whole. Corrected for the "
    "number of comparisons (Holm 1979). A difference may exist even where none is "
    "shown."
)

METHOD_TOO_FAST = (
    "Too fast: much sooner than the person's own usual replies. It is shown separately "
    "and is not a deviation."
)


def same_items_from_to(
    said: object,
    before: object,
    first: datetime,
    after: object,
    last: datetime,
    what: object,
    span: object,
    sessions: object,
) -> str:
    return (
        f"{said} At the same items from about {before} ({first:%Y-%m-%d}) to {after} "
        f"({last:%Y-%m-%d}): {what} {span}, {sessions} sessions."
    )


def same_items_factor(said: object, span: object, sessions: object, least: float) -> str:
    return (
        f"{said} At the same items it is now {span} what it was, over {sessions} sessions. "
        f"Only a change by a factor of {least:.2g} or more, up or down, would show four "
        "times in five."
    )


def no_change_shown(since: object, sessions: object) -> str:
    return f"{since}: no change that {sessions} sessions could show."


def tonight(challenge: object, list_name: object, kind: object) -> str:
    return f"Tonight: {challenge} in {list_name} ({kind}); callout drill puts it where it helps."


NO_CHANGE_SHOWN = "No change shown."

GETS_BETTER = "Gets better."

GETS_WORSE = "Gets worse."


def too_few_sessions_tell(count: object, fewest_sessions: object) -> str:
    return f"Too few sessions to tell: {count}; at least {fewest_sessions} are needed."


TOO_LITTLE_VARIATION = "There is too little variation to tell."

NO_ITEM_MET_TWICE = "No item was met at two times, so nothing can be said about a change."


def none_in(count: object, percent: float) -> str:
    return f"No error in {count} runs; the true share may still be up to {percent:.1f} %."


def no_sessions_in(where: object) -> str:
    return f"There are no sessions in {where}."


def too_many_items(collection: object, count: float) -> str:
    return (
        f"{collection} holds {count:,} items of these people, too many to hold in memory at once."
    )


RUN_CALLOUT_JOURNAL_SEE = "Run `callout journal` to see your sessions."

NO_LIST_CALLED = "No list was called for."


def nothing_debrief(path: object) -> str:
    return f"There is nothing to debrief in {path}."


def still_running_debrief_so(stem: object) -> str:
    return f"{stem} is still running. This is the debrief so far."


def earlier_session_instead(message: object) -> str:
    return f"{message} Here is an earlier session instead."


MOSTLY_LEFT_OUT = "It is mostly left out: say when it does not apply, or remove it from the list."

MOSTLY_OUT_OF_ORDER = "It is mostly taken out of order: move it to where the hand reaches it."


def accept_also(words: object) -> str:
    return f'If "{words}" is right too, accept it (also:).'


def proposed_wording(words: object) -> str:
    return f' Proposed wording: "{words}".'


SUMMARY_COULD_NOT_READ = "The summary could not be read aloud."


def nothing_found_yet(need: object, runs: object) -> str:
    return f"Nothing is found yet because {need}; there are {runs}."


def not_even_always_wrong(runs: object) -> str:
    return f"With {runs} runs of an item, even one that always goes wrong would not be found."


def power_of_runs(runs: object, percent: float) -> str:
    return (
        f"With {runs} runs of an item, one that goes wrong {percent:.0f} % of the time is "
        "found four times in five; one that goes wrong less often is easily missed."
    )


NAME_FOLDERS_HOLD_JOURNALS = "Name folders that hold journals."

NAME_FOLDERS_HOLD_TRAINEES = "Name the folders that hold the trainees' journals."

LEAVE_OUT_OPTION_CALLOUT = "Leave out an option; `callout journal` shows your sessions."

NO_SESSION_MATCHES_THESE = "No session matches these options."

NO_SESSIONS_YET = "No sessions yet."

NAME_A_GROUP = "Name a phase, a list, or an item as LIST/ITEM, written as in the report."


def no_group_called(name: object) -> str:
    return f'No session has a phase, list or item "{name}".'
