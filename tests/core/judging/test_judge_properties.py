"""What holds for every reply."""

from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.reasons import Reason
from callout.core.language.words import normalise_text, words_of
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.model.verdict import Verdict

TABLES = default_tables()
STATES = sorted(TABLES.opposites)
VOCABULARY = sorted(
    TABLES.known
    | TABLES.skip_words
    | set(TABLES.opposites)
    | set(TABLES.synonyms)
    | {"?", ",", "1"}
)
LISTED = ["on", "1013 hPa", "flaps 5", "both on", "12 left, 14 right", "down and locked", "FL190"]


def expecting(*texts: str) -> Expectation:
    return Expectation(tuple(parse_answer(t, TABLES) for t in texts))


@given(st.text(max_size=200))
def test_never_raises_and_never_matches_by_chance(text: str) -> None:
    found = judge_reply(text, expecting("crossfeed closed", "1013 hPa"), TABLES)
    assert found.verdict is not Verdict.MATCH
    assert found.reason
    assert found.code in {r.value for r in Reason}


@settings(max_examples=400)
@given(st.lists(st.sampled_from(VOCABULARY), max_size=8), st.sampled_from(LISTED))
def test_any_mix_of_known_words_gets_a_judgement(said: list[str], listed: str) -> None:
    found = judge_reply(" ".join(said), expecting(listed), TABLES)
    assert found == judge_reply(" ".join(said), expecting(listed), TABLES)


IN_A_MODE = {("on", "standby")}
"""Here the first word is a preposition: a transponder is "on standby" (common practice)."""


def test_a_state_matches_itself_and_none_of_its_opposites() -> None:
    for state in STATES:
        assert verdict_at(state, state) is Verdict.MATCH, state
        for other in TABLES.opposites[state]:
            said = [other, f"{state} {other}"]
            said += [f"{other} {state}"] if (other, state) not in IN_A_MODE else []
            assert [one for one in said if verdict_at(state, one) is Verdict.MATCH] == [], state


@pytest.mark.parametrize(
    "form",
    ["not {}", "{} not", "isn't {}", "never {}", "un{}", "dis{}", "in{}", "no {}", "not yet {}"],
)
def test_a_negated_state_is_never_accepted(form: str) -> None:
    states = [s for s in STATES if s not in TABLES.negations]
    assert [s for s in states if verdict_at(s, form.format(s)) is Verdict.MATCH] == []


@pytest.mark.parametrize(
    "form", ["{}?", "I think {}", "should be {}", "maybe {}", "{} or something", "is it {}"]
)
def test_a_hedge_is_never_an_answer(form: str) -> None:
    assert [s for s in STATES if verdict_at(s, form.format(s)) is not Verdict.UNCLEAR] == []


def verdict_at(state: str, reply: str) -> Verdict:
    return judge_reply(reply, expecting(state), TABLES).verdict


@settings(max_examples=400)
@given(st.lists(st.sampled_from(VOCABULARY) | st.from_regex(r"[-+]?[a-z0-9]{1,6}", fullmatch=True)))
def test_normalising_twice_is_normalising_once(said: list[str]) -> None:
    once = words_of(" ".join(said), TABLES)
    assert words_of(" ".join(once), TABLES) == once


@given(st.sampled_from(STATES), st.sampled_from(string.ascii_lowercase), st.integers(0, 12))
def test_a_letter_more_or_less_in_a_state_is_never_the_state(
    state: str, letter: str, at: int
) -> None:
    at = min(at, len(state))
    for changed in (state[:at] + letter + state[at:], state[:at] + state[at + 1 :]):
        if changed and words_of(changed, TABLES) != words_of(state, TABLES):
            assert judge_reply(changed, expecting(state), TABLES).verdict is not Verdict.MATCH


HOSTILE = [
    "", " ", "\x00", "\ud800", "on\u202eno", "\u043en", "0n", "o" * 100_000, "on " * 5000,
    "one " * 200, "1" * 500, "9" * 4400, "-" * 300, "1.1.1.1.1", "1e400", "NaN", "Infinity",
    "minus minus five", "point point", "and and and", "thousand hundred thousand", "\u0661\u0660",
    "<script>on</script>", "on; rm -rf /", "{on}", "%s%n", "\U0001f600" * 50, "on\n\non\toff",
    "double double double", "oh oh oh oh oh", "a a a a hundred hundred", "'''", "n't", "'s",
]  # fmt: skip


@pytest.mark.parametrize("reply", HOSTILE)
@pytest.mark.parametrize("listed", LISTED)
def test_hostile_replies_are_judged_calmly(reply: str, listed: str) -> None:
    assert judge_reply(reply, expecting(listed), TABLES).verdict is not Verdict.MATCH


def test_no_accepted_answer_never_matches() -> None:
    assert judge_reply("on", Expectation(()), TABLES).verdict is Verdict.UNCLEAR


def test_long_lists_of_numbers_end_in_time() -> None:
    wanted = expecting(", ".join(str(n) for n in range(10, 30)))
    assert judge_reply("ten " * 50, wanted, TABLES).verdict is not Verdict.MATCH


def test_a_reply_both_wrong_and_accepted_is_refused() -> None:
    wanted = Expectation((phrase("on"),), wrong=(WrongReply(phrase("on")),))
    assert judge_reply("on", wanted, TABLES).verdict is Verdict.MISMATCH


def test_an_answer_in_the_first_person_is_no_question() -> None:
    """ "I have control" hands over control. Common practice."""
    wanted = Expectation((parse_answer("I have control", TABLES),))
    assert judge_reply("I have control", wanted, TABLES).verdict is Verdict.MATCH
    assert judge_reply("have I control", wanted, TABLES).verdict is Verdict.UNCLEAR


def test_question_mark_is_kept_by_normalising() -> None:
    assert normalise_text("on?", TABLES).question
