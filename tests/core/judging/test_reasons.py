"""The reason names what was wrong, in one sentence, with a stable code."""

from __future__ import annotations

import pytest

from callout.core.judging.parse_answer import parse_answer
from callout.core.language.reasons import Reason
from callout.core.language.tables import Tables
from callout.core.model.expectation import WrongReply
from callout.core.model.verdict import Verdict
from tests.core.judging.conftest import Judge

CASES = [
    ("1013 hPa", "one zero zero three", "digit-changed", "Third digit: heard 0, expected 1."),
    ("1013 hPa", "one zero three one", "digits-swapped", "third and fourth digits are swapped"),
    ("1013 hPa", "one zero one", "digit-dropped", "fourth digit, 3, is missing"),
    ("1013 hPa", "one zero one one three", "digit-added", "1 was said twice"),
    ("1013 hPa", "one zero one three inches", "wrong-unit", "eard inches, expected hectopascals"),
    ("29.92 inHg", "two niner niner three", "digit-changed", "Fourth digit: heard 3, expected 2."),
    ("1013 hPa", "two niner niner two", "wrong-number", "2992"),
    ("-5 C", "five", "wrong-sign", "minus"),
    ("FL190", "flight level one five zero", "digit-changed", "Second digit: heard 5, expected 9."),
    ("118.450", "one one eight decimal four niner", "digit-changed", "Fifth digit"),
    ("on", "off", "opposite", '"off"'),
    ("armed", "disarmed", "negated", '"disarmed"'),
    ("set", "not set", "negated", "not set"),
    ("on", "I think on", "hedge", "think"),
    ("on", "is it on", "question", "question"),
    ("I have control", "have I control", "question", "question"),
    ("on", "checked", "bare-status", "actual position"),
    ("1013 hPa", "set", "bare-status", "actual value"),
    ("both on", "left on", "opposite", "left"),
    ("12 left, 14 right", "fourteen left twelve right", "sides", "swapped"),
    ("12 left, 14 right", "twelve left", "partial", "missing"),
    ("on", "on off", "contradictory", "Both"),
    ("on", "what's for lunch", "unrelated", "does not sound like"),
    ("on", "okay", "acknowledged", "acknowledges"),
    ("on", "", "nothing", "Nothing"),
    ("on", "on, disregard", "cancelled", "took that back"),
    ("1013 hPa", "point one hundred", "number-garbled", "number"),
    ("on", "five", "other-kind", "no number"),
]


@pytest.mark.parametrize(("expect", "reply", "code", "part"), CASES)
def test_code_and_sentence(said: Judge, expect: str, reply: str, code: str, part: str) -> None:
    found = said(reply, expect)
    assert (found.code, found.verdict is Verdict.MATCH) == (code, False)
    assert part in found.reason
    assert found.reason.count(". ") == 0
    assert found.reason.endswith(".")


def test_each_code_is_documented_with_its_verdict() -> None:
    assert len({r.value for r in Reason}) == len(Reason)


def test_the_item_before_and_after_tell_that_the_place_was_lost(
    said: Judge, tables: Tables
) -> None:
    before, after = parse_answer("flaps 5", tables), parse_answer("down and locked", tables)
    known = {"previous": (before,), "following": (after,)}
    assert said("flaps five", "on", **known).code == "previous-item"
    assert said("locked and down", "on", **known).code == "next-item"
    assert said("on", "on", **known).verdict is Verdict.MATCH


def test_one_contrary_word_is_a_wrong_state_even_if_the_item_before_had_it(
    said: Judge, tables: Tables
) -> None:
    found = said("off", "on", previous=(parse_answer("off", tables),))
    assert (found.verdict, found.code) == (Verdict.MISMATCH, "opposite")


def test_a_named_wrong_reply_says_why(said: Judge, tables: Tables) -> None:
    wrong = (WrongReply(parse_answer("flaps 15", tables), "too much for this runway"),)
    found = said("flaps fifteen", "flaps 5", wrong=wrong)
    assert found.code == "named-wrong"
    assert found.reply == "flaps 15"
    assert "too much for this runway" in found.reason


def test_the_trace_tells_words_match_and_rule(said: Judge) -> None:
    trace = "\n".join(said("off, correction, ten thirteen", "1013 hPa").trace)
    assert "words: off correction ten thirteen" in trace
    assert "correction: judged on what follows it: ten thirteen" in trace
    assert "matched: 'ten thirteen' as '1013'" in trace
    assert "rule:" in trace
