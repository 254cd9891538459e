"""What is wrong with an overlay, and how to correct it."""

from __future__ import annotations

CHOOSE_OVERLAY_WRITTEN_LIST = "Choose the overlay written for this list."

LEAVE_THEM_AS_THEY = "Leave them as they are in the base list."

ACCEPT_CALLOUT_WORDINGS_WHICH = "Accept it with `callout wordings`, which asks twice."

GIVE_ADDED_ITEM_ID = "Give the added item an id of its own."

NAME_ANOTHER_ITEM = "Name another item."


def its_sections(part: object) -> str:
    return f"Its sections: {part}."


DELETE_PROOF_OVERLAY = "Delete the `proof:` of the overlay."

DELETE_IT = "Delete it."

MAY_ONLY_SAY_WHO = "An overlay may say who answers only where the base list does not."

ADD_ITEMS_INSTEAD_CHANGE = "Add items instead, or change the method of the base list."

USE_ADD_ACTION_PANEL = "Use `add_action:` with `panel:` to add actions there."

OVERLAY_CANNOT_CHANGE_POSITION = (
    "An overlay cannot change a position; give each of the two lines its own `when:`."
)

NAME_ANOTHER_PANEL = "Name another panel."

NAME_NEIGHBOUR = "Name another one beside it."

KEEP_ONLY_REPLIES_BASE = "Keep only replies that the base list accepts."

OVERLAY_MAY_ONLY_MAKE = "An overlay may only make it smaller."

REWORD_AROUND_VALUES_ADD = "Reword around the values, or add an item of your own."

WRITE_AFTER_BEFORE_ITEMS = (
    "Write `after:` or `before:` with an item's id, or `section:` with a title."
)


def delete_or_write_yes(key: object) -> str:
    return f"Delete the line, or write `{key}: yes`."


def begin_one(names: object) -> str:
    return f"Begin it with one of: {names}."


def keep_it_with_condition(what: object) -> str:
    return f"Keep the {what}; if it does not always apply, give it a condition in the base list."


KEEP_ONE_BEFORE_AFTER = (
    "Keep one of `before:`, `after:` and `first:`; without any of them it goes last."
)

WRITE_BEFORE_AFTER_PANEL = "Write `before:` or `after:` with a panel, or `first: yes`."

REWORD_ONLY = "An overlay may reword a reply, but not ask for another state."
