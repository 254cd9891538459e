"""When facts or figures of the flight change while a list is open."""

from __future__ import annotations

SET_UP_CHANGED = "Set-up changed."


def not_applicable_now(names: str) -> str:
    return f"Not applicable: {names}."


def now_required(names: str) -> str:
    return f"Now required: {names}."


def repeat_these(names: str) -> str:
    return f"Repeat: {names}."


def changed_since(changes: str) -> str:
    return f"Since then: {changes}."


def item_again(challenge: str, because: str) -> str:
    return f"{challenge} again: {because}."


def not_accepted_because(statement: str, why: str, remedy: str) -> str:
    return f"{statement} Not accepted: {why} {remedy}"


def not_accepted(statement: str) -> str:
    return f"{statement} Not accepted."


NOTHING_CHANGED = "Nothing was changed."

NOTHING_DONE_EARLIER = "Every item has been asked; none was already done."


def not_done_earlier(item: str) -> str:
    return f'"{item}" was not skipped as already done.'


def asked_anyway(names: str) -> str:
    return f"Asked again, although already done: {names}."


def say_what_changed(example: str) -> str:
    return f"Say what changed, for example {example}."


NOTHING_DEPENDS = "No item on this list depends on the set-up."
