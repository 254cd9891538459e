"""What the check finds in a list."""

from __future__ import annotations

from decimal import Decimal

NEVER_APPLIES_HINT = "Correct the condition; `and` asks for both, `or` for either."


def always_applies(name: str, text: str) -> str:
    return f'{name} always applies: "{text}" is true in every set-up.'


ALWAYS_APPLIES_HINT = "Delete the condition, or correct it."


def repeats_list_condition(name: str, condition: str) -> str:
    return f'{name} repeats the condition of the whole list: "{condition}".'


REPEATED_CONDITION_HINT = "Delete it here."

ASKED_TWICE_HINT = "Make the conditions exclude one another: `when: night` and `when: not night`."


def too_many_facts(name: str, count: int, most_facts: int) -> str:
    return f"{name} depends on {count} facts; it may depend on {most_facts} at most."


TOO_MANY_FACTS_HINT = "Name this case with one fact of its own in the flight file."

NEVER_REACHED_HINT = "Lead to its section, or delete it: as written, it is never asked."

UNREACHED_END_HINT = "Lead to it, or delete it from `ends:`."

UNNAMED_END_HINT = "Name one under `ends:`, and lead to it with `then:`."

ONE_WAY_HINT = "Make it an item with a `response:`, or lead one answer elsewhere."


def against_table(said: str, right: Decimal, by: str, at: Decimal, unit: str | None) -> str:
    return f"{said}, but the table gives {right:f} for a {by} of {at:f} {unit}."


AGAINST_TABLE_HINT = "Delete the value; callout then reads it from the table."

OUTSIDE_TABLE_HINT = "Correct it, or add the missing rows."

BROKEN_DEMAND_HINT = "Correct the numbers."

LONG_LIST_HINT = "Split it into two lists at a natural pause of the flight."


def long_section(name: str, count: int) -> str:
    return f"{name} has {count} items without a break."


def long_section_hint(most: int) -> str:
    return f"Make sections of at most {most} items, one per system or panel."


CRITICAL_LATE_HINT = "Move it up, or make the items that must come before it critical too."

FLOW_TRAVEL_HINT = "Finish each panel before the next, or split the flow."

UNKNOWN_PANEL_HINT = "Add it to `panels:` of the flight file, in scan order."

LIST_TRAVEL_HINT = "Follow the panels in scan order, from one side to the other."

LOST_PREFIX_HINT = "Use another word for one of the two, such as open, if the manual has one."


def unknown_state_hint(name: str) -> str:
    return f"Add `{name}:` to the state of the flight file."


NO_QUANTITY_HINT = "Name at least one quantity from `state:`."

CONTRARY_PROOF_HINT = "Make both say the same."

VAGUE_RESPONSE_HINT = "Ask for the position or value the pilot sees: `response: on`."

BARE_ALLOWED_HINT = "Delete `actual_status: no`."

MISSING_OPPOSITE_HINT = "Add `wrong:` with the name of the other position."

SAME_RESPONSE_HINT = "Reword one of the replies, or put another item between them."

SOUNDS_ALIKE_HINT = "Choose a reply with other vowels, or one more word."

CONTRARY_SYNONYM_HINT = "Delete it; the judge ignores it."

UNUSED_SYNONYM_HINT = "Delete it; it is not used there."


def fixed_value_hint(name: str) -> str:
    return f'Take it from the flight: `response: "{{{name}}}"`.'


LONG_CHALLENGE_HINT = "Ask for one thing in a few words; keep the rest in `note:`."

NEGATIVE_WORDING_HINT = "Name the state you want, not the one you do not want: `response: off`."

NEGATIVE_CHALLENGE_HINT = "Name the control, and let the reply give its state."


def completion_call_hint(call: str) -> str:
    return f"Write `complete: {call}`."


SAME_CALL_HINT = "Give each list calls of its own, so that nobody runs the wrong one by mistake."

CONTRARY_WORDING_HINT = "Delete it, or reword it so that it states the reply itself."
