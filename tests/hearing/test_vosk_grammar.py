"""From candidates to what a model can listen for."""

from __future__ import annotations

from decimal import Decimal

import pytest

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Value
from callout.hearing.vosk_grammar import UNKNOWN_MARKS, build_grammar, sayable_words

VOCABULARY = {
    *("on", "off", "armed", "not", "set", "cut", "cutoff", "take", "flaps", "degrees", "it's"),
    *("five", "nine", "one", "zero", "three", "point"),
    "Alfa",
    "[unk]",
    "<eps>",
}


def knows(word: str) -> bool:
    return word in VOCABULARY


def candidate(text: str, *forms: str, value: bool = False) -> Candidate:
    values = (Value(Decimal(5)),) if value else ()
    return Candidate(text, CandidateRole.ACCEPTED, forms, values)


def grammar_of(*candidates: Candidate):  # type: ignore[no-untyped-def]
    return build_grammar(CandidateSet("item", candidates), knows)


@pytest.mark.parametrize(
    ("word", "spelled"),
    [
        ("on", ("on",)),
        ("ON", ("on",)),
        ("Alfa", ("Alfa",)),
        ("alfa", ()),
        ("cut-off", ("cut", "off")),
        ("take-zzz", ()),
        ("it\u2019s", ("it's",)),
        ("disarmed", ()),
        ("5", ()),
        ("[unk]", ()),
        ("<eps>", ()),
        ("", ()),
        (" ", ()),
        ("-", ()),
        ("on\0off", ()),
    ],
)
def test_words_are_spelled_as_the_model_has_them(word: str, spelled: tuple[str, ...]) -> None:
    assert sayable_words(word, knows) == spelled


def test_forms_become_phrases_and_lead_back_to_the_text() -> None:
    grammar = grammar_of(candidate("ON", "on", "set on"), candidate("Cut off", "Cut-off", "cutoff"))
    assert dict(grammar.phrases) == {
        ("on",): "ON",
        ("set", "on"): "ON",
        ("cut", "off"): "Cut off",
        ("cutoff",): "Cut off",
    }
    assert grammar.entries() == ("on", "set on", "cut off", "cutoff", "[unk]")


def test_a_form_of_two_candidates_belongs_to_the_first() -> None:
    assert dict(grammar_of(candidate("first", "on"), candidate("second", "on")).phrases) == {
        ("on",): "first"
    }


def test_unknown_words_are_left_out_and_kept_in_mind() -> None:
    grammar = grammar_of(candidate("disarmed", "Disarmed"), candidate("armed", "armed"))
    assert dict(grammar.left_out) == {("disarmed",): "disarmed"}
    assert "disarmed" not in grammar.entries()


def test_an_unsayable_set_gives_no_grammar_at_all() -> None:
    # The library crashes the process on an empty grammar, so none must be given.
    assert grammar_of(candidate("x", "qqq", "", "5")).entries() == ()
    assert grammar_of().entries() == ()


def test_numbers_are_listened_for_only_where_a_value_is_due() -> None:
    plain = grammar_of(candidate("flaps five", "flaps five"))
    assert not plain.value_words
    assert "nine" not in plain.entries()
    valued = grammar_of(candidate("flaps five", "flaps five", value=True), candidate("on", "on"))
    assert {"flaps", "five", "nine", "zero", "point"} <= valued.value_words
    assert "on" not in valued.value_words
    assert {"nine", "zero", "three"} <= set(valued.entries())


def test_no_unknown_mark_is_given_to_a_model_that_lacks_it() -> None:
    without = build_grammar(CandidateSet("i", (candidate("on", "on"),)), lambda word: word == "on")
    assert without.entries() == ("on",)
    assert not set(UNKNOWN_MARKS) & set(without.entries())
