"""The set-up as stated in words: "fuelling complete", "icing, yes"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from callout.core.model.commands import plain_words, without_fillers
from callout.core.model.flight import Flight, SetUpFact
from callout.core.sentences import judging as sentences


@dataclass(frozen=True, slots=True)
class FactStatement:
    """A fact of the set-up and what it is from now on."""

    fact: str
    state: bool


def find_statement(words: str, flight: Flight, fillers: Sequence[str]) -> FactStatement | None:
    """Return the fact that ``words`` state, or None; whole words only, no guessing."""
    said = without_fillers(plain_words(words), tuple(fillers))
    for fact in flight.set_up.values():
        for state in (True, False):
            if any(said == plain_words(form) for form in statement_forms(fact, state=state)):
                return FactStatement(fact.name, state)
    return None


def find_answer_to(words: str, fact: SetUpFact, fillers: Sequence[str]) -> bool | None:
    """Return what ``words`` answer to the question for a fact; None: they do not answer it.

    Right after its question the fact's name alone is enough ("night", "not night").
    """
    said = without_fillers(plain_words(words), tuple(fillers))
    name = name_of(fact.name)
    short = {True: (name, f"yes {name}"), False: (f"not {name}", f"no {name}")}
    for state in (True, False):
        forms = (*statement_forms(fact, state=state), *short[state])
        if any(said == plain_words(form) for form in forms):
            return state
    return None


def statement_forms(fact: SetUpFact, *, state: bool) -> tuple[str, ...]:
    """Return the ways to state a fact: its own words, and its name in a sentence."""
    own = fact.said_yes if state else fact.said_no
    name = name_of(fact.name)
    usual = (
        (f"{name} yes", f"it is {name}", f"it's {name}")
        if state
        else (f"{name} no", f"it is not {name}", f"it isn't {name}", f"it's not {name}")
    )
    return (*own, *usual)


def spoken_answers(fact: SetUpFact) -> tuple[str, ...]:
    """Return what to listen for at the question for a fact, besides yes and no."""
    name = name_of(fact.name)
    return (*fact.said_yes, *fact.said_no, f"it is {name}", f"it is not {name}")


def statement_phrases(flight: Flight, facts: Iterable[str]) -> tuple[str, ...]:
    """Return the facts' own words, to listen for while a list is open."""
    known = (flight.set_up[name] for name in facts if name in flight.set_up)
    found = [phrase for fact in known for phrase in (*fact.said_yes, *fact.said_no)]
    return tuple(dict.fromkeys(found))


def name_of(fact: str) -> str:
    """Return a fact's name in words."""
    return fact.replace("_", " ")


def question_of(fact: SetUpFact) -> str:
    """Return how to ask for a fact."""
    return fact.question or sentences.yes_or_no(name_of(fact.name).capitalize())


def told(statement: FactStatement) -> str:
    """Return a statement as it is read back."""
    return f"{name_of(statement.fact).capitalize()}: {'yes' if statement.state else 'no'}."
