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


PRACTISE_WITH_DRILL = "Practise what went wrong with callout drill."

NOTHING_CORRECT_KEEP_LOOKING = "Nothing to correct. Keep looking at each control before you answer."


def finish_with_resume(title: object) -> str:
    return f"Finish {title}: callout resume."


def run_again(title: object) -> str:
    return f"Run {title} again, up to its completion call."


def complete_earlier_list(title: object) -> str:
    return f"Complete the list that comes before {title} first."


DOCTOR_FINDS_OUT = "The microphone or voice failed: callout doctor shows what is wrong."


def sound_advice(words: object) -> str:
    return f"Sound: {words}. callout mic shows what to change."


def wrong_after_hold(items: object) -> str:
    return f"{items} went wrong after a hold: read the last completed item again, then continue."


SKIPPED_WITHOUT_REASON = (
    "Skipped without a reason: {}. Do these and answer them before anything else."
)

LEFT_OPEN = "Left open at the end: {}. A list is complete only when every item has its reply."

WRONG_AT_FIRST = "Wrong at first: {}. Read the control, then say the state or value you see."

SAID_AND_NOT_SET = "Called set but not set: {}. Put a hand on the control while you answer."

TOO_FAST = "Answered too fast to have looked: {}. Touch or point at the control while you answer."

OUT_OF_ORDER = "Out of order: {}. Keep to the order of the list."

NOT_UNDERSTOOD = (
    "Not understood more than once: {}. Say the reply as the list writes it. callout "
    "hear shows what it hears in a recording."
)

CRITICAL_SKIPPED = "Critical, and skipped for a reason: {}. Check that the reason still holds."

SKIPPED_FOR_REASON = "Skipped for a reason: {}. Answer these once the reason no longer holds."

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

QUERY_FAILED_UNTOLD = "The query failed, and the database's own message cannot be read."
QUERY_VALUE_TOO_LARGE = "The query gives a value too large to show."
CAST_TO_TEXT = "Show it as text: CAST(... AS VARCHAR)."
