"""The set-up as stated in words: "fuelling complete", "icing, yes"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from callout.core.commands import plain, without_fillers
from callout.core.flight import Flight, SetUpFact


@dataclass(frozen=True, slots=True)
class Statement:
    """A fact of the set-up and what it is from now on."""

    fact: str
    state: bool


def find_statement(words: str, flight: Flight, fillers: Sequence[str]) -> Statement | None:
    """Return the fact that ``words`` state, or None; whole words only, nothing is guessed at."""
    said = without_fillers(plain(words), tuple(fillers))
    for fact in flight.set_up.values():
        for state in (True, False):
            if any(said == plain(form) for form in statement_forms(fact, state=state)):
                return Statement(fact.name, state)
    return None


def statement_forms(fact: SetUpFact, *, state: bool) -> tuple[str, ...]:
    """Return the ways to state a fact: its own words, and its name with yes or no."""
    own = fact.said_yes if state else fact.said_no
    return (*own, f"{name_of(fact.name)} {'yes' if state else 'no'}")


def statement_phrases(flight: Flight, facts: Iterable[str]) -> tuple[str, ...]:
    """Return the facts' own words, for listening while a list is open."""
    known = (flight.set_up[name] for name in facts if name in flight.set_up)
    found = [phrase for fact in known for phrase in (*fact.said_yes, *fact.said_no)]
    return tuple(dict.fromkeys(found))


def name_of(fact: str) -> str:
    """Return a fact's name in words."""
    return fact.replace("_", " ")


def question_of(fact: SetUpFact) -> str:
    """Return how to ask for a fact."""
    return fact.question or f"{name_of(fact.name).capitalize()}: yes or no?"


def told(statement: Statement) -> str:
    """Return a statement as read back."""
    return f"{name_of(statement.fact).capitalize()}: {'yes' if statement.state else 'no'}."
