"""Orders, agreement, additions and customs: what each rule takes, and what it must leave alone."""

from __future__ import annotations

from importlib.resources import files
from itertools import product

import pytest
import yaml

from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.language.words import words_of
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.model.verdict import Verdict
from tests.core.judging.conftest import Judge

MATCH = Verdict.MATCH


def raw(name: str) -> dict[str, object]:
    text = (files("callout") / "data" / "judging" / f"{name}.yaml").read_text(encoding="utf-8")
    found = yaml.load(text, Loader=yaml.BaseLoader)
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("name", ["additions", "customs"])
def test_what_crews_say_has_an_owner_a_source_and_a_reason_for_each_line(name: str) -> None:
    table = raw(name)
    rows = table[name]
    assert table["owner"]
    assert table["source"]
    assert isinstance(rows, list)
    assert all(row["because"] for row in rows)


def test_no_addition_excludes_an_answer_it_may_stand_beside(tables: Tables) -> None:
    for addition in (a for found in tables.usage.additions.values() for a in found):
        if addition.words[0] == "no":
            continue  # "no red" beside "green" agrees
        for word, due in product(addition.words, addition.beside):
            assert word not in tables.opposites.get(due, ()) or due in addition.words, addition


def test_no_custom_turns_a_state_round(tables: Tables) -> None:
    for custom in tables.usage.customs:
        for said in custom.said:
            for word, due in product(said, custom.listed):
                assert word not in tables.opposites.get(due, ()) or due in said, custom
            turns = set(said) & tables.negations - {"no"}
            assert bool(turns) == bool(set(custom.listed) & tables.negations), custom


@pytest.mark.parametrize("reply", ["set it", "set the brake", "please set it", "okay, set them"])
def test_an_order_reports_nothing(said: Judge, reply: str) -> None:
    found = said(reply, "set")
    assert (found.verdict, found.code) == (Verdict.UNCLEAR, "ordered")


@pytest.mark.parametrize("reply", ["I have set it", "we've set it", "that's set"])
def test_a_report_is_no_order(said: Judge, reply: str) -> None:
    assert said(reply, "set").verdict is MATCH


@pytest.mark.parametrize("reply", ["that's right", "right then", "right, next", "you're right"])
def test_agreement_names_no_side(said: Judge, reply: str) -> None:
    assert said(reply, "right").verdict is Verdict.UNCLEAR


def test_an_addition_the_list_names_as_wrong_is_refused(said: Judge, tables: Tables) -> None:
    assert said("closed and locked", "closed").verdict is MATCH
    wrong = (WrongReply(parse_answer("locked", tables)),)
    assert said("closed and locked", "closed", wrong=wrong).verdict is not MATCH


def test_a_wrong_reply_with_an_addition_that_makes_it_right_is_right(
    said: Judge, tables: Tables
) -> None:
    wrong = (WrongReply(parse_answer("closed", tables)),)
    assert said("closed and locked", "closed and locked", wrong=wrong).verdict is MATCH


def test_a_lists_own_contrasts_stop_an_addition(said: Judge) -> None:
    contrasts = (("closed", "latched"),)
    assert said("closed and latched", "closed", contrasts=contrasts).verdict is not MATCH


def test_a_lists_own_synonym_never_makes_a_wrong_reply_right(said: Judge, tables: Tables) -> None:
    synonyms = {"wayward": "aligned"}
    assert said("wayward", "aligned", synonyms=synonyms).verdict is MATCH
    apart = (("aligned", "wayward"),)
    assert said("wayward", "aligned", synonyms=synonyms, contrasts=apart).verdict is not MATCH
    wrong = (WrongReply(parse_answer("wayward", tables)),)
    assert said("wayward", "aligned", synonyms=synonyms, wrong=wrong).verdict is not MATCH


def test_a_custom_holds_only_for_its_thing(said: Judge) -> None:
    assert said("set", "on", challenge="Parking brake").verdict is MATCH
    assert said("set", "on", challenge="Fuel pump").verdict is not MATCH
    assert said("set", "on").verdict is not MATCH


def test_a_custom_the_list_names_as_wrong_is_refused(said: Judge, tables: Tables) -> None:
    wrong = (WrongReply(parse_answer("set", tables), "say on"),)
    found = said("set", "on", challenge="Parking brake", wrong=wrong)
    assert found.code == "named-wrong"


def test_a_part_of_the_answer_is_no_answer_to_the_item_before(said: Judge, tables: Tables) -> None:
    before = (parse_answer("closed", tables),)
    assert said("closed", "closed and locked", previous=before).code == "partial"


@pytest.mark.parametrize(
    ("expect", "reply"),
    [
        ("118.7", "one eighteen seven"),
        ("118.705", "one one eight seven zero five"),
        ("minus 12 degrees", "negative twelve"),
        ("0.5 right", "zero point five to the right"),
        ("4.5 nose up", "nose up four point five"),
        ("2500 feet", "two and a half thousand"),
        ("6400 kg", "six point four tonnes"),
        ("neutral", "in neutral"),
        ("left off, right on", "left one off and the right one on"),
        ("r t o", "RTO"),
        ("t o g a", "toga"),
        ("auxiliary power", "APU"),
    ],
)
def test_other_forms_of_the_same(said: Judge, expect: str, reply: str) -> None:
    assert said(reply, expect).verdict is MATCH


@pytest.mark.parametrize(
    ("expect", "reply"),
    [
        ("118.7", "twelve eight seven"),
        ("118.7", "one eighty seven"),
        ("118.705", "one eighteen seven"),
        ("minus 12 degrees", "negative, twelve"),
        ("6400 kg", "six point five tonnes"),
        ("active", "in active"),
        ("correct", "in correct"),
        ("left off, right on", "left one on and the right one off"),
        ("down", "down, two greens"),
        ("up", "up, one red light"),
    ],
)
def test_what_only_sounds_like_it(said: Judge, expect: str, reply: str) -> None:
    assert said(reply, expect).verdict is not MATCH


def test_words_are_normalised_as_replies_are(tables: Tables) -> None:
    for custom in tables.usage.customs:
        assert all(words_of(" ".join(said), tables) == said for said in custom.said)


def test_a_saying_that_the_list_itself_gives_is_a_reply() -> None:
    """ "That is right" only agrees, unless "right or wrong?" is what is asked (common practice)."""
    tables = default_tables()
    asked = Expectation((phrase("right"), phrase("that is right")))
    assert judge_reply("that is right", asked, tables).verdict is Verdict.MATCH
    bare = Expectation((phrase("right"),))
    assert judge_reply("that is right", bare, tables).verdict is Verdict.UNCLEAR
