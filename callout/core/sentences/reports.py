"""Debriefs, trends and comparisons."""

from __future__ import annotations

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
