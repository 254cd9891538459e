"""Why a reply was accepted, refused or not understood."""

from __future__ import annotations


def not_taken_as_answer(due: object) -> str:
    return f"I could not take that as an answer; say {due}."


NO_ANSWER_SAID = "Nothing was said that could be an answer."


def only_acknowledges(due: object) -> str:
    return f"That only acknowledges: please say {due}."


DOES_NOT_SOUND_LIKE = "That does not sound like an answer to this item."


def was_a_question(due: object) -> str:
    return f"That was a question; look, and say {due} if it is so."


def part_missing(due: object) -> str:
    return f"A part is missing; say all of {due}."


def number_wanted(due: object) -> str:
    return f"This item wants a number; say {due}."


def no_number_wanted(due: object) -> str:
    return f"This item wants no number; say {due}."


LONGER_THAN_ANY_ANSWER = "That was longer than any answer; say just the answer."

NOTHING_SAID = "Nothing was said."

YOU_TOOK_BACK_SAY = "You took that back; say the answer."


def was_an_order(due: object) -> str:
    return f"That is an order, not a report; look, and say {due}."


def agrees_only(due: object) -> str:
    return f"That agrees but does not answer; say {due}."


def heard_but_wants(heard: object, due: object) -> str:
    return f"Heard {heard}; this item wants {due}."


def as_listed(answer: object) -> str:
    return f"{answer}, as listed."


def number_unclear(due: object) -> str:
    return f"I could not make out the number; say {due}."


def heard_word_but_wants(word: object, due: object) -> str:
    return f'Heard "{word}"; this item wants {due}.'


def both_heard(word: object, other: object) -> str:
    return f'Both "{word}" and "{other}" were heard; say just what it is.'


def answer_due(due: object) -> str:
    return f"This item wants {due}."


def sides_swapped(due: object) -> str:
    return f"Left and right are swapped; this item wants {due}."


def yes_or_no(name: object) -> str:
    return f"{name}: yes or no?"


I_AM_NOT_SURE = "I am not sure what I heard."

I_HEARD_SOUND_BUT = "I heard a sound, but no words."

NOT_REPLY_ITEM = "That was not a reply to this item."


def was_a_command(command: object) -> str:
    return f'That is the spoken command "{command}".'


ALREADY_ACCEPTED = "It is already accepted."

NUMBER_JUDGED_AGAIN_ON = (
    "A number is judged again on each flight; a fixed wording cannot stand for it."
)

LEAVES_OUT_PART_REPLY = "It leaves out part of the reply."

DOES_NOT_SAY_STATE = "It does not say the state."

AGREES_BUT_DOES_NOT = "It agrees, but does not say the state."

ORDER_NOT_REPORT = "It is an order, not a report."

GUESSES_PROMISES_DOES_NOT = "It guesses or promises; it does not report."

IT_IS_A_QUESTION = "It is a question."

NAMES_STATES_CONTRADICT_EACH = "It names states that contradict each other."

REPLY_PREVIOUS_ITEM_WOULD = "It is the reply to the previous item, and would hide a lost place."

REPLY_NEXT_ITEM_WOULD = "It is the reply to the next item, and would hide a lost place."

WORDING_MUST_FEW_WORDS = "A wording must be a few words."

COULD_NOT_JUDGED_RIGHT = "It could not be judged right even if it were listed."


def would_make_right_too(wrong: object) -> str:
    return f'It would make "{wrong}" right too.'
