"""A list called for by name while nothing is open: only a sure hearing of one name begins it."""

from __future__ import annotations

import pytest

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.flight_run.called_alone import (
    AskMeant,
    BeginList,
    NoSuchList,
    NotMeant,
    take_call,
    to_listen_for,
)
from callout.core.model.candidates import CandidateRole
from callout.core.model.checklist import Checklist
from callout.core.model.heard import Heard
from callout.core.model.list_words import Method, Phase


def checklist(list_id: str, title: str) -> Checklist:
    return Checklist(list_id, title, Phase.TAXI, Method.CHALLENGE_AND_RESPONSE, "complete", ())


LISTS = (
    checklist("before-start", "Before start"),
    checklist("after-start", "After start"),
    checklist("taxi", "Taxi checklist"),
)


def sure(words: str) -> Heard:
    return Heard(words, words, 0.99, sure=True)


def unsure(guess: str, transcript: str) -> Heard:
    return Heard(guess, transcript, 0.4)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("before start checklist", "before-start"),
        ("After start checklist", "after-start"),
        ("taxi checklist", "taxi"),
    ],
)
def test_a_sure_name_begins_its_list(words: str, wanted: str) -> None:
    assert take_call(sure(words), LISTS, default_commands()) == BeginList(wanted, words)


@pytest.mark.parametrize(
    "heard",
    [
        unsure("before start checklist", "before start checklist"),
        unsure("after start checklist", "before start checklist"),
        sure("before starting checklist"),
    ],
)
def test_an_unsure_name_or_a_like_one_is_asked_about(heard: Heard) -> None:
    """What the recogniser wrote down is asked about, never its guess."""
    call = take_call(heard, LISTS, default_commands())
    assert call == AskMeant("before-start", heard.transcript)


@pytest.mark.parametrize(
    "heard",
    [
        unsure("before start checklist", "before starting we need the"),
        unsure("taxi checklist", ""),
        unsure("taxi checklist", "did you find the taxi to the hotel in the end or the checklist"),
        sure("before start"),
        sure("say again"),
        sure("yes"),
        Heard(""),
    ],
)
def test_any_other_talk_is_left_alone(heard: Heard) -> None:
    assert take_call(heard, LISTS, default_commands()) is None


def test_a_name_that_no_list_has_is_told() -> None:
    call = take_call(sure("ditching checklist"), LISTS, default_commands())
    assert call == NoSuchList("ditching checklist")


def test_of_two_lists_with_one_name_it_is_asked() -> None:
    two: tuple[Checklist, ...] = (*LISTS, checklist("taxi-2", "Taxi checklist"))
    assert isinstance(take_call(sure("taxi checklist"), two, default_commands()), AskMeant)


def test_only_a_sure_yes_begins_what_was_asked_about() -> None:
    commands = default_commands()
    assert take_call(sure("yes"), LISTS, commands, "taxi") == BeginList("taxi", "yes")
    assert take_call(sure("no"), LISTS, commands, "taxi") == NotMeant()
    assert take_call(unsure("yes", "yes"), LISTS, commands, "taxi") is None
    assert take_call(sure("after start checklist"), LISTS, commands, "taxi") is None


def test_bare_titles_are_not_listened_for_and_commands_compete() -> None:
    """ "Taxi" alone may be talk; "say again" is not to be taken for a name."""
    heard = to_listen_for(LISTS, default_commands(), default_tables())
    own = [c.text for c in heard.candidates if c.role is CandidateRole.ACCEPTED]
    assert own == ["Before start checklist", "After start checklist", "Taxi checklist"]
    assert any(c.role is CandidateRole.COMMAND for c in heard.candidates)
    asked = to_listen_for(LISTS, default_commands(), default_tables(), "taxi")
    assert [c.text for c in asked.candidates if c.role is CandidateRole.ACCEPTED] == ["yes", "no"]
