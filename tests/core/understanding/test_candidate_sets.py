"""The phrases listened for at an item, and what the judge would say of each."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Expectation, Value, WrongReply
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for

TABLES = default_tables()
COMMANDS = default_commands().groups()
ORDER = tuple(CandidateRole)

STATES = (
    "on", "off", "both on", "armed", "disarmed", "closed and locked", "open", "up", "down", "left",
    "right", "full forward", "not required", "standby", "auto", "fastened", "checked", "set",
    "high", "low", "both", "main", "removed", "extended", "free and correct", "three green",
)  # fmt: skip
WORDED = st.sampled_from(STATES)
NUMBERED = st.one_of(
    st.integers(940, 1050).map("{} hPa".format),
    st.integers(2800, 3099).map(lambda n: f"{n / 100:.2f} inHg"),
    st.integers(1, 360).map("heading {:03d}".format),
    st.integers(5, 45).map(lambda n: f"FL{n * 10}"),
    st.integers(0, 0o7777).map("squawk {:04o}".format),
    st.integers(60, 180).map("{} kt".format),
    st.integers(1, 40).map(lambda n: f"{n * 100} ft"),
    st.integers(0, 40).map("flaps {}".format),
    st.integers(0, 110).map("{}%".format),
    st.integers(1, 36).map("{:02d}L".format),
)
ANSWERS = st.one_of(WORDED, NUMBERED)


def expecting(*accepted: str, **more: object) -> Expectation:
    answers = tuple(parse_answer(text, TABLES) for text in accepted)
    return Expectation(answers, **more)  # type: ignore[arg-type]


def made(
    expectation: Expectation, commands: tuple[tuple[str, ...], ...] = COMMANDS
) -> CandidateSet:
    return candidates_for(expectation, commands, TABLES, "item")


def of(found: CandidateSet, role: CandidateRole) -> list[Candidate]:
    return [c for c in found.candidates if c.role is role]


def forms(found: CandidateSet, *roles: CandidateRole) -> list[str]:
    return [f for c in found.candidates if c.role in roles for f in c.forms]


def verdict(form: str, expectation: Expectation) -> Verdict:
    return judge_reply(form, expectation, TABLES).verdict


@settings(deadline=None, max_examples=40)
@given(st.lists(ANSWERS, min_size=1, max_size=3, unique=True), st.sampled_from(["", "beacon"]))
def test_every_accepted_way_is_a_match(accepted: list[str], challenge: str) -> None:
    expectation = expecting(*accepted, challenge=challenge)
    said = forms(made(expectation), CandidateRole.ACCEPTED)
    assert said
    for form in said:
        assert verdict(form, expectation) is Verdict.MATCH, form


@settings(deadline=None, max_examples=40)
@given(ANSWERS, ANSWERS)
def test_no_wrong_or_contrary_way_is_a_match(accepted: str, wrong: str) -> None:
    named = (WrongReply(parse_answer(wrong, TABLES)),) if wrong != accepted else ()
    expectation = expecting(accepted, wrong=named)
    for form in forms(made(expectation), CandidateRole.WRONG, CandidateRole.CONTRAST):
        assert verdict(form, expectation) is not Verdict.MATCH, form


@settings(deadline=None, max_examples=40)
@given(st.lists(ANSWERS, min_size=2, max_size=3, unique=True))
def test_contrary_to_one_answer_it_may_only_be_another_of_them(accepted: list[str]) -> None:
    """ "both off" is contrary to "both on", and right where "off" is accepted as well."""
    expectation = expecting(*accepted)
    for form in forms(made(expectation), CandidateRole.CONTRAST):
        alone = (verdict(form, Expectation((a,))) for a in expectation.accepted)
        assert any(found is not Verdict.MATCH for found in alone), form
        if verdict(form, expectation) is Verdict.MATCH:
            each = [verdict(form, Expectation((a,))) for a in expectation.accepted]
            assert Verdict.MATCH in each, form


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(["1013 hPa", "250 kt", "1500 ft", "50%"]), st.integers(1, 20))
def test_numbers_within_the_tolerance_are_no_contrast(text: str, tolerance: int) -> None:
    (answer,) = expecting(text).accepted
    parts = tuple(
        replace(p, tolerance=Decimal(tolerance)) if isinstance(p, Value) else p
        for p in answer.parts
    )
    expectation = Expectation((replace(answer, parts=parts),))
    for form in forms(made(expectation), CandidateRole.CONTRAST):
        assert verdict(form, expectation) is not Verdict.MATCH, form


@settings(deadline=None, max_examples=40)
@given(st.lists(ANSWERS, min_size=1, max_size=2), ANSWERS, ANSWERS, ANSWERS)
def test_no_form_twice_and_commands_last(
    accepted: list[str], wrong: str, previous: str, following: str
) -> None:
    expectation = expecting(
        *accepted,
        wrong=(WrongReply(parse_answer(wrong, TABLES)),),
        previous=expecting(previous).accepted,
        following=expecting(following).accepted,
    )
    found = made(expectation)
    every = [f for c in found.candidates for f in c.forms]
    assert len(every) == len(set(every))
    texts = [c.text for c in found.candidates]
    assert len(texts) == len(set(texts))
    places = [ORDER.index(c.role) for c in found.candidates]
    assert places == sorted(places)
    assert all(c.forms for c in found.candidates)
    assert all(f == f.lower() and not any(x.isdigit() for x in f) for f in every)
    assert found.item_id == "item"


def test_roles_of_an_item_of_words() -> None:
    expectation = expecting(
        "on",
        wrong=(WrongReply(parse_answer("auto", TABLES)),),
        previous=expecting("armed").accepted,
        following=expecting("closed").accepted,
    )
    found = made(expectation)
    assert [c.text for c in of(found, CandidateRole.ACCEPTED)] == ["on"]
    assert [c.text for c in of(found, CandidateRole.WRONG)] == ["auto"]
    assert {"off", "not on"} <= {c.text for c in of(found, CandidateRole.CONTRAST)}
    assert [c.text for c in of(found, CandidateRole.NEIGHBOUR)] == ["armed", "closed"]
    assert [c.text for c in of(found, CandidateRole.COMMAND)] == [group[0] for group in COMMANDS]


def test_an_accepted_phrase_keeps_its_role_whatever_else_it_is() -> None:
    """ "off" is accepted here, contrary to "on", named wrong, and the next answer."""
    found = made(
        expecting(
            "on",
            "off",
            wrong=(WrongReply(parse_answer("off", TABLES)),),
            following=expecting("off").accepted,
        ),
        ("off",),
    )
    assert [c.role for c in found.candidates if "off" in c.forms] == [CandidateRole.ACCEPTED]


@pytest.mark.parametrize(
    ("answer", "alone"),
    [("squawk 4271", "four two seven one"), ("heading 050", "zero five zero")],
)
def test_a_value_is_listened_for_without_its_label_where_the_judge_takes_it(
    answer: str, alone: str
) -> None:
    expectation = expecting(answer)
    taken = verdict(alone, expectation) is Verdict.MATCH
    assert (alone in forms(made(expectation), CandidateRole.ACCEPTED)) is taken
    assert taken or answer != "squawk 4271"


@settings(deadline=None, max_examples=40)
@given(NUMBERED)
def test_a_bare_value_is_listened_for_only_where_the_judge_takes_it(answer: str) -> None:
    expectation = expecting(answer)
    words = [p for p in expectation.accepted[0].parts if not isinstance(p, Value)]
    for form in forms(made(expectation), CandidateRole.ACCEPTED):
        assert verdict(form, Expectation(expectation.accepted)) is Verdict.MATCH, (form, words)


@pytest.mark.parametrize(
    ("answer", "near"),
    [
        ("1013 hPa", {"one zero one eight", "one zero three one", "one zero one nine"}),
        ("29.92 inHg", {"two nine nine three", "two nine two nine"}),
        ("squawk 4271", {"four two seven nine", "four seven two one"}),
        ("flaps 5", {"flaps nine"}),
    ],
)
def test_numbers_one_slip_away_are_listened_for(answer: str, near: set[str]) -> None:
    contrary = forms(made(expecting(answer)), CandidateRole.CONTRAST)
    assert any(any(n in form for form in contrary) for n in near)
    expected = {str(v.number) for v in expecting(answer).accepted[0].parts if isinstance(v, Value)}
    for candidate in of(made(expecting(answer)), CandidateRole.CONTRAST):
        assert not expected & {str(v.number) for v in candidate.values}


def test_a_value_may_be_followed_by_set_or_checked_and_follow_the_challenge() -> None:
    said = forms(made(expecting("1013 hPa", challenge="Altimeter")), CandidateRole.ACCEPTED)
    assert "one zero one three" in said
    assert "one zero one three set" in said
    assert any(form.startswith("altimeter one zero one three") for form in said)


@pytest.mark.parametrize("challenge", ["", "   ", "Höhenmesser"])
def test_a_challenge_that_cannot_be_said_in_english_is_not_listened_for(challenge: str) -> None:
    found = made(expecting("on", challenge=challenge), ())
    assert forms(found, CandidateRole.ACCEPTED) == forms(
        made(expecting("on"), ()), CandidateRole.ACCEPTED
    )


def test_a_reply_that_is_a_command_too_leaves_the_other_ways_to_say_it() -> None:
    found = made(expecting("stop"), (("stop", "end the checklist"), ("hold",)))
    assert [(c.text, c.role, c.forms) for c in found.candidates if c.role.value == "command"] == [
        ("end the checklist", CandidateRole.COMMAND, ("end the checklist",)),
        ("hold", CandidateRole.COMMAND, ("hold",)),
    ]


def test_nothing_expected_leaves_the_commands() -> None:
    assert {c.role for c in made(Expectation(())).candidates} == {CandidateRole.COMMAND}
    assert made(Expectation(()), ()).candidates == ()


@pytest.mark.parametrize(
    ("answer", "against"),
    [
        ("Identified", {"unidentified"}),
        ("closed and armed", {"closed and unarmed", "closed and disarmed"}),
        ("moving correctly", {"moving incorrectly"}),
        ("entered, cross-checked", {"entered, cross unchecked"}),
    ],
)
def test_states_that_a_syllable_reverses_are_listened_for(answer: str, against: set[str]) -> None:
    wanted = expecting(answer)
    contrasts = of(made(wanted), CandidateRole.CONTRAST)
    assert against <= {c.text for c in contrasts}
    assert all(verdict(form, wanted) is not Verdict.MATCH for c in contrasts for form in c.forms)


def test_each_reversed_word_is_the_plain_one_with_a_beginning_that_reverses() -> None:
    """So that the judge takes none of them for the plain one."""
    assert len(TABLES.reversible) > 700
    for word, contraries in TABLES.reversible.items():
        for contrary in contraries:
            assert contrary.removesuffix(word) in TABLES.prefixes
