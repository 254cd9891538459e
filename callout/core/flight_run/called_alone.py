"""A list called for by name while neither a list nor a flight is open.

Only the name of exactly one list, heard for certain, starts it. An uncertain name is asked about,
and an unknown name is reported; other talk is ignored.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from callout.core.flight_run.calls import (
    listened_phrases,
    names_a_list,
    similar_list,
    words_key,
)
from callout.core.flight_run.turn import NOTHING, OF_A_LIST, said_alike
from callout.core.language.tables import Tables
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Checklist
from callout.core.model.commands import CommandTable, find_answer
from callout.core.model.heard import Heard
from callout.core.model.utterance import spoken_utterance
from callout.core.understanding.candidate_sets import candidates_for

TARGET = "list"


@dataclass(frozen=True, slots=True)
class BeginList:
    """A list is to begin."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True)
class AskMeant:
    """The person is asked whether this list is meant."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True)
class NoSuchList:
    """No list has a name like that."""

    words: str


@dataclass(frozen=True, slots=True)
class NotMeant:
    """The suggested list was not the one meant."""


AloneCall = BeginList | AskMeant | NoSuchList | NotMeant


def take_call(
    heard: Heard, lists: Sequence[Checklist], commands: CommandTable, asked: str = ""
) -> AloneCall | None:
    """Return what an utterance calls for, or None. asked: id of the suggested list."""
    if asked:
        return _answered(heard, commands, asked)
    if heard.sure and (named := _named(heard.text, lists, commands)):
        return BeginList(named.id, heard.text)
    words = names_a_list(spoken_utterance(heard))
    if not words:
        return None
    near = similar_list(words, lists)
    return AskMeant(near.id, words) if near else NoSuchList(words)


def _answered(heard: Heard, commands: CommandTable, asked: str) -> AloneCall | None:
    answer = find_answer(heard.text, commands, ("yes", "no")) if heard.sure else None
    if answer is None:
        return None
    return BeginList(asked, heard.text) if answer == "yes" else NotMeant()


def _named(words: str, lists: Sequence[Checklist], commands: CommandTable) -> Checklist | None:
    """Return the one list with these words as a call; None if two lists share them."""
    said = words_key(words, commands)
    forms = {c.id: {words_key(p, commands) for p in listened_phrases(c)} for c in lists}
    found = [c for c in lists if said and said in forms[c.id]]
    return found[0] if len(found) == 1 else None


def to_listen_for(
    lists: Sequence[Checklist], commands: CommandTable, tables: Tables, asked: str = ""
) -> CandidateSet:
    """Return the names of lists, or yes and no; and the commands, so that they are not mistaken for
    names.
    """
    answers = commands.answers
    asked_for = (answers.get("yes", ()), answers.get("no", ()))
    groups = asked_for if asked else tuple(map(listened_phrases, lists))
    own = {g[0]: said_alike(g, candidates_for, tables) for g in groups if g}
    rest = candidates_for(NOTHING, commands.formal(OF_A_LIST).groups(), tables, TARGET)
    return replace(rest, candidates=(*own.values(), *rest.candidates))
