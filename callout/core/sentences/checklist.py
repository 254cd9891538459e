"""While a checklist is open."""

from __future__ import annotations

NOW_THE_DEFERRED = "Now the deferred items."


def your_challenge(challenge: str) -> str:
    return f"Your challenge: {challenge}."


def skip_reason_wanted(challenge: str) -> str:
    return f"Skip {challenge}: what is the reason?"


def stop_the_list(title: str, left: str) -> str:
    return f"Stop {title} with {left} not done? Yes or no?"


def deferred_still_open(names: str) -> str:
    return f'Still open: {names}. Say "take them now" or "leave them open".'


def completion_wanted(remainder: str) -> str:
    return f"All items are done{remainder}. Your completion call?"


def is_that_right(statement: str) -> str:
    return f"{statement} Is that right? Yes or no?"


LIST_BRANCHES_HERE = "The list branches here. Answer the question, or stop the list."


def say_which_branch(choices: str) -> str:
    return f"Say which of these it is: {choices}."


def say_continue(held: str) -> str:
    return f'{held} Say "continue" to go on.'


NOT_ON_HOLD = "The list is not on hold."


def no_item_now(verb: str) -> str:
    return f"There is no item to {verb} now."


FIRST_ITEM = "This is the first item."


def back_to(challenge: str) -> str:
    return f"Back to {challenge}."


def back_to_unanswered(challenge: str) -> str:
    return f"Back to {challenge}. Your earlier reply no longer counts."


READING_ALOUD = "Reading aloud."


def not_on_this_list(challenge: str) -> str:
    return f"That challenge is not on this list. Next: {challenge}."


def not_complete(names: str) -> str:
    return f"Not complete. Still open: {names}."


def not_answered(challenge: str) -> str:
    return f"{challenge} was not answered."


def not_challenged(names: str) -> str:
    return f"Not challenged yet: {names}."


def stopped_incomplete(title: str, left: str) -> str:
    return f"Stopped. {title} is not complete: {left} not done."


SAY_IT_FIRST = "Answer first; then ask why."

ASK_WHY_AT_ITEM = 'Ask "why" while an item is open.'


def no_reasons_at(panel: str) -> str:
    return f"The list gives no reasons for {panel}."


def wrong_seat(heard_from: str, answers: str) -> str:
    return f"That sounded like the {heard_from}; the {answers} answers this item."


TOO_FAST = " Too fast to have looked. Look, then answer."

OTHER_SEAT_TOO = "Now the other seat."


def list_opening(title: str, items: str, dropped: int) -> str:
    return f"{title}: {items}, {dropped} not applicable."


def no_words(verb: str) -> str:
    return f"{verb} a sound, but no words."


NOTHING_LEFT = "Nothing is left."


def continuing_at(challenge: str) -> str:
    return f"Continuing at {challenge}."


CONTINUING_BETWEEN = "Continuing between items."

NONE_COMPLETED = "No item is complete yet."


def last_completed(challenge: str, outcome: str) -> str:
    return f"Last completed: {challenge}, {outcome}."


def holding_at(challenge: str) -> str:
    return f"Holding at {challenge}."


SAY_DIGITS = "Say it digit by digit, or type it."


def say_item_and_state(challenge: str, typed: str) -> str:
    return f'Say "{challenge}" and its state together, {typed}.'


WAYS_OUT = ' Or say "later", "skip" with a reason, or "help".'


def still_not_understood(remedy: str, ways_out: str) -> str:
    return f"Still not understood. {remedy}{ways_out}"


def not_known_yet(names: str) -> str:
    return f"Not known yet: {names}. Hold and state it, defer the item, or skip it with a reason."


def not_applicable_because(challenge: str, why: str) -> str:
    return f"Not applicable: {challenge} ({why})."


def you_can_say(commands: str) -> str:
    return f"You can say: {commands}."


def say_completion(call: str) -> str:
    return f'Say "{call}".'


def say_one_of(answers: str) -> str:
    return f"Say {answers}."


def deferred(challenge: str) -> str:
    return f"{challenge} deferred."


def skipped(challenge: str, reason: str) -> str:
    return f"{challenge} skipped: {reason}."


SKIP_REASON = "Skip: why?"

COMPLETION_CALL = "Completion call?"


def heard_words(verb: str, words: str, seat: str, doubt: str) -> str:
    return f'{verb} "{words}"{seat}{doubt}.'


def items_left(count: str, names: str) -> str:
    return f"{count} left: {names}."


def deferred_items(names: str) -> str:
    return f"Deferred: {names}."


def try_saying(example: str, typed: str) -> str:
    return f'Try "{example}", {typed}.'


def done_earlier(challenge: str, when: str) -> str:
    return f"{challenge}: {when}."


def list_paused(title: str, why: str) -> str:
    return f"{title} paused: {why}."
