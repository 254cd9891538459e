"""Why a reply was accepted, refused or not understood."""

from __future__ import annotations


def not_taken_as_answer(due: str) -> str:
    return f"I could not take that as an answer; say {due}."


NO_ANSWER_SAID = "Nothing was said that could be an answer."


def only_acknowledges(due: str) -> str:
    return f"That only acknowledges: please say {due}."


UNRELATED_REPLY = "That does not sound like an answer to this item."


def was_a_question(due: str) -> str:
    return f"That was a question; look, and say {due} if it is so."


def part_missing(due: str) -> str:
    return f"A part is missing; say all of {due}."


def number_wanted(due: str) -> str:
    return f"This item wants a number; say {due}."


def no_number_wanted(due: str) -> str:
    return f"This item wants no number; say {due}."


LONGER_THAN_ANY_ANSWER = "That was longer than any answer; say just the answer."

NOTHING_SAID = "Nothing was said."

TAKEN_BACK = "You took that back; say the answer."


def was_an_order(due: str) -> str:
    return f"That is an order, not a report; look, and say {due}."


def agrees_only(due: str) -> str:
    return f"That agrees but does not answer; say {due}."


def heard_but_wants(heard: str, due: str) -> str:
    return f"Heard {heard}; this item wants {due}."


def as_listed(answer: str) -> str:
    return f"{answer}, as listed."


def number_unclear(due: str) -> str:
    return f"I could not make out the number; say {due}."


def heard_word_but_wants(word: str, due: str) -> str:
    return f'Heard "{word}"; this item wants {due}.'


def both_heard(word: str, other: str) -> str:
    return f'Both "{word}" and "{other}" were heard; say just what it is.'


def answer_due(due: str) -> str:
    return f"This item wants {due}."


def sides_swapped(due: str) -> str:
    return f"Left and right are swapped; this item wants {due}."


def yes_or_no(name: str) -> str:
    return f"{name}: yes or no?"


NOT_SURE = "I am not sure what I heard."

SOUND_WITHOUT_WORDS = "I heard a sound, but no words."

NOT_A_REPLY = "That was not a reply to this item."


def was_a_command(command: str) -> str:
    return f'That is the spoken command "{command}".'


ALREADY_ACCEPTED = "It is already accepted."

WORDING_OF_A_NUMBER = "A number is judged anew on each flight; a fixed wording cannot replace it."

WORDING_INCOMPLETE = "It leaves out part of the reply."

WORDING_WITHOUT_STATE = "It does not say the state."

WORDING_AGREES = "It agrees, but does not say the state."

WORDING_ORDERS = "It is an order, not a report."

WORDING_GUESSES = "It guesses or promises instead of reporting."

WORDING_ASKS = "It is a question."

WORDING_CONTRADICTS = "It names states that contradict each other."

WORDING_OF_PREVIOUS = "It is the reply to the previous item, and would hide a lost place."

WORDING_OF_NEXT = "It is the reply to the next item, and would hide a lost place."

WORDING_TOO_LONG = "A wording may have only a few words."

WORDING_NEVER_RIGHT = "It would not be judged right even if the list had it."


def wording_admits(wrong: str) -> str:
    return f'It would make "{wrong}" right too.'
