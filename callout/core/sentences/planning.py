"""Values and conditions that cannot be worked out for a flight."""

from __future__ import annotations

from decimal import Decimal

USE_ONLY_THESE = "Use only names, numbers, + - * / ( ), comparisons and the listed functions."

CONVERT_ONE = "Convert one with to(...)."

CHECK_UNITS = "Check the units."

SPLIT_INTO_NAMED_QUANTITIES = "Split it into named quantities."

MAKE_GIVE_ONE_NUMBER = "Make it give one number."

CHECK_NUMBERS = "Check the numbers in it."

EXAMPLE_SPEEDS = "For example, write `v1 <= v2`."


def known_quantities(known: object) -> str:
    return f"Known quantities: {known}."


def known_functions(names: object) -> str:
    return f"Known functions: {names}."


CHECK_DATA = "Check the data."

SPLIT_UP = "Split it up."


def expression_cannot_used(expression: object, why: object) -> str:
    return f'The expression "{expression}" cannot be used: {why}.'


def DECIDE_WHICH(id: object) -> str:
    return f'Decide which it is for "{id}" and delete the other line.'


GIVE_EACH_ITEM_LIST = "Give each item of a list its own id."

REWORD_ONE_THEM_DELETE = "Reword one of them, delete it, or give each a different `when:`."

RENAME_ONE_THEM = "Rename one of them."

DELETE_ONE = "Delete one."

WRITE_WORDS = "Write words."


def correct_or_give(by: object, wanted: object) -> str:
    return f"Correct the {by}, or give the {wanted} as a number."


GIVE_AS_NUMBER = "Give it as a number."


def add_to_flight(name: object) -> str:
    return f"Add `{name}:` to the flight file."


def it_comes_from(source: object) -> str:
    return f" It comes from {source}."


def give_in_flight(name: object) -> str:
    return f"Give it with `{name}:` in the flight file."


PUT_SPACE_BEFORE_AFTER = "Put a space before and after the braces."


def written_after_a_value(unit: object, value_unit: object) -> str:
    return f"{unit} is written after a value in {value_unit}."


def write_unit(unit: object) -> str:
    return f"Write {unit}, or give the response a `unit:`."


def ASKED_AS_UNKNOWN(condition: object) -> str:
    return f"Asked because this is not known yet: {condition}."


GIVE_VALUE_UNIT_MEASURES = "Give the value in a unit that measures the same thing."


def cannot_converted(unit: object, into: object) -> str:
    return f"{unit} cannot be converted to {into}."


def stated_number(first: object, rest: object, number: Decimal, unit: object) -> str:
    return f"{first}{rest}: {number:f}{unit}."


def known_units(names: object) -> str:
    return f"Known units: {names}."
