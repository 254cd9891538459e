"""A journal told again, one line for each record."""

from __future__ import annotations


def side_remark_not_counted(utterance: str) -> str:
    return f"  {utterance} Side remark, not counted."


def aircraft_taken_over(received: str) -> str:
    return f" Aircraft taken over: {received}."


def not_completed_then(lists: str) -> str:
    return f" Not completed at that point: {lists}."


def no_longer_as_left(item: str, found: str) -> str:
    return f"{item} is no longer as you left it: {found}."


def no_list_has_name(utterance: str) -> str:
    return f"  {utterance} No list has that name."


def of_picked(settled: int, picked: int, new: str, time: str) -> str:
    return f"  {settled} of {picked} picked.{new} Time: {time}."


def by_state_alone(found: str) -> str:
    return f"  Accepted from the aircraft's state alone: {found}."


def side_remark(utterance: str) -> str:
    return f"  {utterance} Side remark."


NO_ANSWER = "No answer."


def not_answer_question(utterance: str) -> str:
    return f"  {utterance} Not an answer to the question."


def command_moves_on(item: str, command: str, to: str, away: str) -> str:
    return f"{item}: {command}; continues at {to}{away}."


def item_deferred(item: str, note: str) -> str:
    return f"{item} deferred{note}."


def item_not_applicable(item: str, condition: str) -> str:
    return f"{item} not applicable: {condition}."


def recited(said: str, verdict: str, item: str, early: str) -> str:
    return f"  {said} {verdict}: from memory, {item}{early}."


def was_prompted(item: str) -> str:
    return f"{item} had to be prompted."


def panel_done(panel: str, seconds: float, told: str) -> str:
    return f"{panel} done in {seconds:.1f} s{told}."


def prompted_for(what: str) -> str:
    return f"  {what} had to be prompted."


def flow_seen(parts: str) -> str:
    return f"Flow seen; {parts}."


def flow_done(mode: str, passed: str) -> str:
    return f"Flow done ({mode}){passed}."


def set_up_changed(words: str) -> str:
    return f"Set-up changed{words}."
