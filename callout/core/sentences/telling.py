"""A journal told again, one line for each record."""

from __future__ import annotations


def side_remark_not_counted(utterance: object) -> str:
    return f"  {utterance} Side remark, not counted."


def aircraft_taken_over(received: object) -> str:
    return f" Aircraft taken over: {received}."


def not_completed_then(lists: object) -> str:
    return f" Not completed at that point: {lists}."


def no_longer_as_left(item: object, found: object) -> str:
    return f"{item} is no longer as you left it: {found}."


def no_list_has_name(utterance: object) -> str:
    return f"  {utterance} No list has that name."


def of_picked(settled: object, picked: object, new: object, time: object) -> str:
    return f"  {settled} of {picked} picked.{new} Time: {time}."


def by_state_alone(found: object) -> str:
    return f"  Accepted from the aircraft's state alone: {found}."


def side_remark(utterance: object) -> str:
    return f"  {utterance} Side remark."


NO_ANSWER = "No answer."


def not_answer_question(utterance: object) -> str:
    return f"  {utterance} Not an answer to the question."


def command_moves_on(item: object, command: object, to: object, away: object) -> str:
    return f"{item}: {command}; continues at {to}{away}."


def item_deferred(item: object, note: object) -> str:
    return f"{item} deferred{note}."


def item_not_applicable(item: object, condition: object) -> str:
    return f"{item} not applicable: {condition}."


def recited(said: object, verdict: object, item: object, early: object) -> str:
    return f"  {said} {verdict}: from memory, {item}{early}."


def was_prompted(item: object) -> str:
    return f"{item} had to be prompted."


def panel_done(panel: object, seconds: float, told: object) -> str:
    return f"{panel} done in {seconds:.1f} s{told}."


def had_prompted(what: object) -> str:
    return f"  {what} had to be prompted."


def flow_seen(parts: object) -> str:
    return f"Flow seen; {parts}."


def flow_done(mode: object, passed: object) -> str:
    return f"Flow done ({mode}){passed}."


def set_up_changed(words: object) -> str:
    return f"Set-up changed{words}."
