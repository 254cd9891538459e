"""What to ask about a guess, and how an answer changes it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from callout.core.authoring.asides import condition_of, take_asides
from callout.core.authoring.guesses import Blank, Doubt, Guess, Reading, confirmed_guess, with_guess
from callout.core.authoring.quantities import blank_of
from callout.core.authoring.responses import understand_response
from callout.core.authoring.splitting import split_text, without_leaders
from callout.core.authoring.written import with_quantities
from callout.core.formats.draft_text import reply_alternatives, small_letters
from callout.core.model.checklist import Role
from callout.core.model.expectation import ValueKind
from callout.core.paper.blanks import BLANK
from callout.core.sentences import authoring as say
from callout.errors import ChecklistInvalid

Rivals = Mapping[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to decide about one guess."""

    doubt: Doubt
    text: str
    choices: tuple[str, ...] = ()
    """Empty: any words."""
    usual: str = ""
    """The meaning of an empty answer; empty: the question stays open."""


def questions_of(guess: Guess) -> tuple[Question, ...]:
    """Return the questions about ``guess``."""
    return tuple(_question_of(guess, doubt) for doubt in guess.doubts)


def _question_of(guess: Guess, doubt: Doubt) -> Question:
    reply = as_printed(guess)
    match doubt:
        case Doubt.NO_RESPONSE | Doubt.AS_REQUIRED:
            said = say.ASK_REPLY if doubt is Doubt.NO_RESPONSE else say.ASK_POSITIONS
            return Question(doubt, said)
        case Doubt.BLANK:
            kinds = tuple(kind.value for kind in ValueKind)
            return Question(doubt, say.ASK_BLANK, kinds, ValueKind.NUMBER.value)
        case Doubt.LINE | Doubt.LAYOUT:
            line = doubt is Doubt.LINE
            said = say.ASK_LINE if line else say.ASK_LAYOUT
            return Question(doubt, said, ("yes", "no") if line else ("yes",))
        case Doubt.HOLE | Doubt.RANGE:
            said = say.ASK_HOLE if doubt is Doubt.HOLE else say.ASK_RANGE
            return Question(doubt, said, usual=reply)
        case Doubt.SLASH:
            usual = "either" if len(guess.item.responses) > 1 else "both"
            return Question(doubt, say.ask_slash(guess.raw), ("both", "either"), usual)
        case Doubt.LETTERS | Doubt.UNREAD:
            shown = f"{guess.item.challenge} .... {reply}".rstrip(" .")
            asked = say.ask_unread if doubt is Doubt.UNREAD else say.ask_letters
            return Question(doubt, asked(shown), usual=shown)
        case Doubt.SEAT:
            roles = tuple(role.value for role in Role)
            return Question(doubt, say.ASK_SEAT, roles, guess.item.who)
        case Doubt.WHEN:
            return Question(doubt, say.ask_bracket(guess.bracket), ("when", "name"), "when")
        case Doubt.TWO_PARTS:
            return Question(doubt, say.ask_two_parts(guess.item.note), usual=reply)


def answer_question(
    reading: Reading, at: int, doubt: Doubt, answer: str, rivals: Rivals
) -> Reading:
    """Return ``reading`` after ``answer`` to a doubt about guess ``at``; "-" leaves it out.

    Raises ChecklistInvalid when the answer is not one of the choices.
    """
    guess = reading.guesses[at]
    question = _question_of(guess, doubt)
    words = " ".join(answer.split()) or question.usual
    if words == "-":
        return with_guess(reading, at, replace(guess, kept=False))
    if not words:
        return reading
    if question.choices:
        words = _chosen(words, question.choices)
    return with_guess(reading, at, confirmed_guess(_answered(guess, doubt, words, rivals), doubt))


def change_guess(
    reading: Reading, at: int, challenge: str, response: str, rivals: Rivals
) -> Reading:
    """Return ``reading`` with the guess at ``at`` reworded by the person."""
    guess = reading.guesses[at]
    if response == as_printed(guess):  # reworded is the challenge; each value stays as it is
        item = replace(guess.item, challenge=challenge)
        read = (Doubt.LETTERS, Doubt.UNREAD)
        left = tuple(d for d in guess.doubts if d not in read)
        return with_guess(reading, at, replace(guess, item=item, doubts=left, kept=True))
    meant = understand_response(response, challenge, rivals)
    item = replace(
        guess.item, challenge=challenge, responses=meant.replies, as_required=meant.as_required
    )
    doubts = tuple(d for d in meant.doubts if d is not Doubt.SLASH)
    made = replace(guess, item=item, doubts=doubts, blanks=meant.blanks, raw=response, kept=True)
    return with_guess(reading, at, made)


def left_open(reading: Reading) -> Reading:
    """Return ``reading`` with unanswered questions written beside its items, as comments."""
    guesses = []
    for guess in reading.guesses:
        asked = tuple(question.text for question in questions_of(guess))
        shown = without_leaders(guess.origin.text)
        told = (say.on_the_card(shown), *asked) if asked else ()
        guesses.append(replace(guess, item=replace(guess.item, open_questions=told)))
    return replace(reading, guesses=tuple(guesses))


def _chosen(words: str, choices: tuple[str, ...]) -> str:
    found = [choice for choice in choices if choice.startswith(words.casefold())]
    exact = [choice for choice in choices if choice == words.casefold()]
    if len(found) != 1 and not exact:
        raise ChecklistInvalid(say.no_such_choice(words), say.choose_one(", ".join(choices)))
    return (exact or found)[0]


def _answered(guess: Guess, doubt: Doubt, words: str, rivals: Rivals) -> Guess:
    item = guess.item
    match doubt:
        case Doubt.NO_RESPONSE | Doubt.RANGE | Doubt.TWO_PARTS | Doubt.HOLE:
            if words in (" / ".join(item.responses), as_printed(guess)):
                return guess
            meant = understand_response(words, item.challenge, rivals)
            made = replace(item, responses=meant.replies, as_required=meant.as_required)
            return replace(guess, item=made, blanks=meant.blanks)
        case Doubt.BLANK:
            return replace(guess, blanks=tuple(_with_kind(b, words) for b in guess.blanks))
        case Doubt.LINE:
            return _with_blank(guess) if words == "yes" else guess
        case Doubt.AS_REQUIRED:
            positions = _positions(words)
            return replace(guess, item=replace(item, responses=positions, as_required=True))
        case Doubt.SLASH:
            return replace(guess, item=replace(item, responses=_slashed(guess, words)))
        case Doubt.LETTERS | Doubt.UNREAD:
            return _reworded(guess, words, rivals)
        case Doubt.SEAT:
            return replace(guess, item=replace(item, who=words))
        case Doubt.WHEN | Doubt.LAYOUT:
            return _with_bracket(guess) if words == "name" else guess


def as_printed(guess: Guess) -> str:
    """Return the replies with ____ for each value, as a person knows them from the card."""
    return re.sub(r"\{[^{}]*\}", BLANK, " / ".join(guess.item.responses))


def _with_bracket(guess: Guess) -> Guess:
    """Return ``guess`` with the words in brackets as part of its name, and no condition."""
    item = guess.item
    said, asked = condition_of(guess.bracket, item.challenge)
    left = " and ".join(part for part in item.when.split(" and ") if part != said)
    named = replace(item, challenge=f"{item.challenge} ({guess.bracket})", when=left)
    facts = tuple(fact for fact in guess.facts if fact not in asked)
    return replace(guess, item=named, facts=facts, bracket="")


def _with_kind(blank: Blank, kind: str) -> Blank:
    return blank if blank.kind else replace(blank, kind=kind)


def _with_blank(guess: Guess) -> Guess:
    made, _ = blank_of(guess.item.challenge, "", "", 1, 0)
    replies = tuple(f"{{{made.name}}} {reply}" for reply in guess.item.responses)
    item = replace(guess.item, responses=replies or (f"{{{made.name}}}",))
    return replace(guess, item=item, blanks=(replace(made, kind=made.kind or "number"),))


def _positions(words: str) -> tuple[str, ...]:
    parts = (
        small_letters(part.strip()) for part in re.split(r"(?<!\s)\s*(?:/|,|\bor\b)\s*", words)
    )
    return tuple(dict.fromkeys(part for part in parts if part))


def _slashed(guess: Guess, how: str) -> tuple[str, ...]:
    """Return the parts of a reply in order or as alternatives; each blank stays its value."""
    told, _ = with_quantities(take_asides(guess.raw).text, guess.item.challenge)
    parts = [small_letters(part.strip()) for part in told.split("/") if part.strip()]
    return tuple(parts) if how == "either" else (", ".join(parts),)


def _reworded(guess: Guess, words: str, rivals: Rivals) -> Guess:
    halves = split_text(words)
    replies_now = (" / ".join(guess.item.responses), as_printed(guess))
    if halves.challenge == guess.item.challenge and halves.response in replies_now:
        return guess
    meant = understand_response(halves.response, halves.challenge, rivals)
    replies = meant.replies or reply_alternatives(halves.response)
    item = replace(guess.item, challenge=halves.challenge, responses=replies)
    return replace(guess, item=item, blanks=meant.blanks or guess.blanks)
