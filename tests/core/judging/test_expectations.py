"""Challenge, actual status, units, tolerance and a checklist's own words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.model.expectation import Answer, Expectation, Value, ValueKind, phrase
from callout.core.model.verdict import Judgement, Verdict
from tests.core.judging.conftest import Judge


def value(reply: str, tables: Tables, number: str, **more: object) -> Judgement:
    part = replace(Value(Decimal(number)), **more)  # type: ignore[arg-type]
    return judge_reply(reply, Expectation((Answer((part,), number),)), tables)


def test_actual_status_refuses_a_bare_word_even_when_listed(said: Judge) -> None:
    # Degani & Wiener, Human Factors 35(2), 1993, guideline 1: say the status or value.
    assert said("set", "set").verdict is Verdict.MATCH
    assert said("set", "set", actual_status=True).code == "bare-status"
    assert said("set and checked", "on", actual_status=True).code == "bare-status"
    assert said("on, checked", "on", actual_status=True).verdict is Verdict.MATCH


def test_as_required_needs_the_state_after_it(said: Judge) -> None:
    assert said("as required", "on", as_required_with_status=True).code == "bare-status"
    found = said("as required, on", "on", "off", as_required_with_status=True)
    assert (found.verdict, found.reply) == (Verdict.MATCH, "on")
    assert said("as required, on", "on").verdict is Verdict.UNCLEAR


def test_only_this_challenge_may_be_echoed(said: Judge) -> None:
    assert said("fuel pump on", "on", challenge="Left fuel pump").verdict is Verdict.MATCH
    assert said("beacon on", "on", challenge="Left fuel pump").verdict is Verdict.UNCLEAR
    both = "Fuel pumps left and right"
    assert said("left fuel pump on", "on", challenge=both).verdict is not Verdict.MATCH


# Pressure pairs recomputed in the reference notes: 1013 hPa = 29.91, 1013.25 hPa = 29.92 inHg.
@pytest.mark.parametrize(
    ("reply", "match"),
    [
        ("two niner niner two", True),
        ("two niner niner one inches", True),
        ("two niner eight eight", False),
        ("two niner niner five", False),
        ("one zero one three inches", False),
        ("two niner niner two hectopascals", False),
    ],
)
def test_either_unit_only_where_the_item_allows_it(reply: str, match: bool, tables: Tables) -> None:
    known = {"unit": "hPa", "kind": ValueKind.PRESSURE}
    found = value(reply, tables, "1013", other_units=("inHg",), **known)
    assert (found.verdict is Verdict.MATCH) is match
    assert value(reply, tables, "1013", **known).verdict is not Verdict.MATCH


def test_other_units_of_mass_must_be_said(tables: Tables) -> None:
    # 1 lb = 0.45359237 kg exactly: 100 kg = 220.46 lb.
    known = {"unit": "kg", "kind": ValueKind.MASS, "other_units": ("lb",)}
    assert value("two hundred twenty pounds", tables, "100", **known).verdict is Verdict.MATCH
    assert value("two hundred twenty", tables, "100", **known).verdict is not Verdict.MATCH


def test_tolerance_is_inclusive_and_one_sided_nowhere(tables: Tables) -> None:
    known = {"unit": "kg", "kind": ValueKind.MASS, "tolerance": Decimal(50)}
    for reply, match in (("5550", True), ("5650", True), ("5549", False), ("5651", False)):
        assert (value(reply, tables, "5600", **known).verdict is Verdict.MATCH) is match


def test_a_required_unit_is_asked_for(tables: Tables) -> None:
    known = {"unit": "kg", "kind": ValueKind.MASS, "unit_required": True}
    assert value("five hundred kilos", tables, "500", **known).verdict is Verdict.MATCH
    found = value("five hundred", tables, "500", **known)
    assert (found.verdict, found.code) == (Verdict.UNCLEAR, "unit-missing")


def test_the_quantity_is_named_in_the_reason(tables: Tables) -> None:
    found = value("one two six", tables, "125", unit="kt", name="decision speed")
    assert found.reason.startswith("Decision speed: ")


def test_a_checklists_own_contrasts_and_synonyms(tables: Tables) -> None:
    expectation = Expectation(
        (phrase("taxi"),),
        contrasts=(("taxi", "turnoff"),),
        synonyms={"rolling light": "taxi"},
    )
    assert judge_reply("rolling light", expectation, tables).verdict is Verdict.MATCH
    assert judge_reply("turnoff", expectation, tables).code == "opposite"


def test_a_synonym_that_turns_a_state_round_is_ignored(tables: Tables) -> None:
    expectation = Expectation((phrase("on"),), synonyms={"off": "on", "not on": "on"})
    assert judge_reply("off", expectation, tables).verdict is Verdict.MISMATCH
    assert judge_reply("not on", expectation, tables).verdict is Verdict.MISMATCH


@pytest.mark.parametrize(
    ("reply", "verdict"),
    [
        ("oscar november", Verdict.MATCH),
        ("o n", Verdict.MATCH),
        ("oscar foxtrot foxtrot", Verdict.MISMATCH),
        ("oscar", Verdict.UNCLEAR),
        ("oscar november echo", Verdict.UNCLEAR),
    ],
)
def test_a_word_may_be_spelled(said: Judge, reply: str, verdict: Verdict) -> None:
    assert said(reply, "on").verdict is verdict


def test_a_checklists_own_contrast_is_never_passed_over(tables: Tables) -> None:
    expectation = Expectation((phrase("marginal"),), contrasts=(("good", "marginal"),))
    assert judge_reply("marginal good", expectation, tables).verdict is not Verdict.MATCH
    fuzzy = Expectation((phrase("compressor"),), contrasts=(("compressor", "compresser"),))
    assert judge_reply("compresser", fuzzy, tables).verdict is Verdict.MISMATCH
    assert (
        judge_reply("compresser", Expectation((phrase("compressor"),)), tables).verdict
        is Verdict.MATCH
    )


def test_several_accepted_answers(said: Judge) -> None:
    assert said("auto", "on", "auto").reply == "auto"
    assert said("on auto", "on", "auto").verdict is not Verdict.MATCH


def test_accepted_words_of_the_trade(said: Judge, tables: Tables) -> None:
    assert parse_answer("centre tank empty", tables)
    assert said("center tank empty", "centre tank empty").verdict is Verdict.MATCH
    assert said("aeroplane ready", "airplane ready").verdict is Verdict.MATCH
