"""Values and conditions that cannot be worked out for a flight."""

from __future__ import annotations

from decimal import Decimal

EXPRESSION_HINT = "Use only names, numbers, + - * / ( ), comparisons and the listed functions."

MIXED_UNITS_HINT = "Convert one with to(...)."

CHECK_UNITS = "Check the units."

LONG_EXPRESSION_HINT = "Split it into named quantities."

ONE_NUMBER_HINT = "Write it so that it gives one number."

CHECK_NUMBERS = "Check the numbers in it."

EXAMPLE_SPEEDS = "For example, write `v1 <= v2`."


def known_quantities(known: str) -> str:
    return f"Known quantities: {known}."


def known_functions(names: str) -> str:
    return f"Known functions: {names}."


CHECK_DATA = "Check the data."

SPLIT_UP = "Split it up."


def expression_invalid(expression: str, why: str) -> str:
    return f'The expression "{expression}" cannot be used: {why}.'


def position_twice_hint(id: str) -> str:
    return f'Decide which it is for "{id}", and delete the other line.'


SAME_ID_HINT = "Give each item of a list its own id."

SAME_CHALLENGE_HINT = "Reword one of them, delete it, or give each a different `when:`."

SAME_TITLE_HINT = "Rename one of them."

DELETE_ONE = "Delete one."

WRITE_WORDS = "Write words."


def outside_table_hint(by: str, wanted: str) -> str:
    return f"Correct the {by}, or give the {wanted} as a number."


GIVE_AS_NUMBER = "Give it as a number."


def value_missing_hint(name: str) -> str:
    return f"Add `{name}:` to the flight file."


def it_comes_from(source: str) -> str:
    return f" It comes from {source}."


def value_in_flight_hint(name: str) -> str:
    return f"Give it with `{name}:` in the flight file."


BRACES_SPACE_HINT = "Put a space before and after the braces."


def written_after_a_value(unit: str, value_unit: str) -> str:
    return f"{unit} is written after a value in {value_unit}."


def write_unit(unit: str) -> str:
    return f"Write {unit}, or give the response a `unit:`."


def ASKED_AS_UNKNOWN(condition: str) -> str:
    return f"Asked because this is not known yet: {condition}."


OTHER_MEASURE_HINT = "Give the value in a unit that measures the same thing."


def no_conversion(unit: str, into: str) -> str:
    return f"{unit} cannot be converted to {into}."


def stated_number(first: str, rest: str, number: Decimal, unit: str) -> str:
    return f"{first}{rest}: {number:f}{unit}."


def known_units(names: str) -> str:
    return f"Known units: {names}."
