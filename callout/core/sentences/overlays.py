"""What is wrong with an overlay, and how to correct it."""

from __future__ import annotations

WRONG_BASE_HINT = "Choose the overlay written for this list."

BASE_ONLY_HINT = "Leave them as they are in the base list."

CRITICAL_WORDING_HINT = "Accept it with `callout wordings`, which asks twice."

ADDED_ID_HINT = "Give the added item an id of its own."

BESIDE_ITSELF_HINT = "Name another item."


def its_sections(names: str) -> str:
    return f"Its sections: {names}."


PROOF_HINT = "Delete the `proof:` of the overlay."

DELETE_IT = "Delete it."

ROLE_HINT = "An overlay may say who answers only where the base list does not."

NO_FLOW_HINT = "Add items instead, or change the method of the base list."

PANEL_EXISTS_HINT = "Use `add_action:` with `panel:` to add actions there."

POSITION_HINT = "An overlay cannot change a position; give each of the two lines its own `when:`."

PANEL_BESIDE_ITSELF_HINT = "Name another panel."

UNKNOWN_NEIGHBOUR_HINT = "Name another neighbour."

NEW_REPLY_HINT = "Keep only replies that the base list accepts."

WIDER_TOLERANCE_HINT = "An overlay may only make it smaller."

REWORDED_VALUES_HINT = "Reword around the values, or add an item of your own."

ADDED_PLACE_HINT = "Write `after:` or `before:` with an item's id, or `section:` with a title."


def delete_or_write_yes(key: str) -> str:
    return f"Delete the line, or write `{key}: yes`."


def overlay_key_hint(names: str) -> str:
    return f"Begin it with one of: {names}."


def removal_hint(what: str) -> str:
    return f"Keep the {what}; if it does not always apply, give it a condition in the base list."


SEVERAL_PLACES_HINT = (
    "Keep one of `before:`, `after:` and `first:`; without any of them it goes last."
)

PANEL_PLACE_HINT = "Write `before:` or `after:` with a panel, or `first: yes`."

REWORD_ONLY = "An overlay may reword a reply, but not ask for another state."
