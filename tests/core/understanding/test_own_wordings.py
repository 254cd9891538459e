"""Which wordings of a person's own may be accepted, and that none lets in a wrong reply."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from callout.app.shared.tables import default_tables
from callout.core.judging.contrast import contrasting_replies
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.expectation import Expectation, WrongReply, phrase
from callout.core.model.utterance import Utterance, typed_utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.own_wordings import (
    ACCEPTED,
    NUMBERS,
    offer_of,
    why_not,
    with_wording,
    without_wording,
)

TABLES = default_tables()
LABELLED = Path(__file__).parents[2] / "data" / "natural_replies.jsonl"


def expected(*right: str, wrong: tuple[str, ...] = (), challenge: str = "Doors") -> Expectation:
    return Expectation(
        accepted=tuple(parse_answer(text, TABLES) for text in right),
        wrong=tuple(WrongReply(phrase(text)) for text in wrong),
        challenge=challenge,
    )


DOORS = expected("closed and latched", wrong=("pulled to",))


@pytest.mark.parametrize(
    ("words", "right", "challenge"),
    [
        ("buckled in", "fastened", "Harnesses"),
        ("handles flush", "closed and latched", "Doors"),
        ("feeding the bus", "charging", "Alternator"),
    ],
)
def test_a_wording_of_ones_own_is_accepted_once_it_is_let_in(
    words: str, right: str, challenge: str
) -> None:
    item = expected(right, challenge=challenge)
    assert not why_not(words, item, TABLES)
    wider = with_wording(item, words, TABLES)
    assert judge_reply(words, item, TABLES).verdict is not Verdict.MATCH
    assert judge_reply(words, wider, TABLES).verdict is Verdict.MATCH
    heard = {form for c in candidates_for(wider, (), TABLES).candidates for form in c.forms}
    assert words in heard
    assert without_wording(wider, words) == item


@pytest.mark.parametrize(
    ("words", "because"),
    [
        ("open", "wrong here"),
        ("not closed", "wrong here"),
        ("unlatched", "wrong here"),
        ("nearly shut but open", ""),
        ("pulled to", "wrong here"),
        ("the handle is pulled to", "wrong here"),
        ("handle nicely not in place", "reverses a reply"),
        ("left hand catch home", ""),
        ("closed", "leaves out part"),
        ("roger", "agrees"),
        ("close it please", "order"),
        ("is it shut", "question"),
        ("catch 2 home", "number"),
        ("closed and latched", ACCEPTED),
        ("", "words"),
        (" ".join(["word"] * 13), "a few words"),
        ("latching them", "not done yet"),
        ("flush later", "not done yet"),
        ("undone", "not done yet"),
        ("opened up", ""),
        ("dropping", "not done yet"),
        ("I will see to the catch", ""),
        ("catch is loose", "fault"),
        ("flushed, I think", "guesses"),
        ("let go of it", "order"),
    ],
)
def test_what_is_no_wording_is_refused_with_a_sentence(words: str, because: str) -> None:
    said = why_not(words, DOORS, TABLES)
    assert said.endswith(".")
    assert because.casefold() in said.casefold()


def test_another_form_of_the_contrary_is_one() -> None:
    """ "Leaned" is the contrary of "rich" as much as "lean" is."""
    assert "opposite" in why_not("leaned", expected("rich", challenge="Mixture"), TABLES)
    assert "opposite" in why_not("enleaned", expected("rich", challenge="Mixture"), TABLES)


def test_a_number_is_never_kept_in_a_wording() -> None:
    height = expected("1500 feet", challenge="Circuit height")
    assert "wrong here" in why_not("1600 feet", height, TABLES)
    assert why_not("exactly the usual", height, TABLES) == NUMBERS


def labelled(label: str) -> list[dict[str, Any]]:
    rows = [json.loads(line) for line in LABELLED.read_text(encoding="utf-8").splitlines()]
    return [row for row in rows if row["label"] == label and not row.get("value")]


def test_no_labelled_wrong_reply_that_the_judge_calls_wrong_may_be_let_in() -> None:
    wrong = labelled("refuse")
    assert len(wrong) > 500
    let_in = []
    for row in wrong:
        right = row["expect"] if isinstance(row["expect"], list) else [row["expect"]]
        item = expected(
            *right, wrong=tuple(row.get("wrong", ())), challenge=row.get("challenge", "")
        )
        mismatch = judge_reply(row["reply"], item, TABLES).verdict is Verdict.MISMATCH
        if mismatch and not why_not(row["reply"], item, TABLES):
            let_in.append((row["challenge"], row["expect"], row["reply"]))
    assert not let_in


def test_few_labelled_wrong_replies_are_left_for_a_person_to_judge() -> None:
    """Of what is neither a contrary nor a number, some only a person can tell from a synonym."""
    wrong = labelled("refuse")
    let_in = [r for r in wrong if not why_not(r["reply"], _item(r), TABLES)]
    assert len(let_in) <= 0.03 * len(wrong), [r["reply"] for r in let_in]


def _item(row: dict[str, Any]) -> Expectation:
    right = row["expect"] if isinstance(row["expect"], list) else [row["expect"]]
    return expected(*right, wrong=tuple(row.get("wrong", ())), challenge=row.get("challenge", ""))


def test_a_wording_let_in_leaves_every_contrary_wrong() -> None:
    wider = with_wording(expected("fastened", challenge="Harnesses"), "buckled in", TABLES)
    for answer in wider.accepted:
        for contrary in contrasting_replies(answer, TABLES):
            assert judge_reply(contrary, wider, TABLES).verdict is not Verdict.MATCH


def test_only_what_may_be_accepted_is_offered() -> None:
    item = PlannedItem("harnesses", "Harnesses", "Harnesses", expected("fastened"), critical=True)
    said = [
        typed_utterance("Buckled in."),
        typed_utterance("unfastened"),
        Utterance("x", "Belts snug", sure=False),
    ]
    offers = list(offer_of(item, said, "fastened", TABLES))
    assert [(o.words, o.sure) for o in offers] == [("buckled in", True), ("belts snug", False)]
    assert all(o.critical and o.right == "fastened" for o in offers)


@pytest.mark.parametrize(
    ("words", "right", "challenge", "offered"),
    [
        ("banana", "set", "Parking brake", False),
        ("what a nice day", "set", "Parking brake", False),
        ("hello there", "closed and latched", "Doors", False),
        ("dog behind", "clear", "Propeller area", False),
        ("on the way", "in", "Chocks", False),
        ("at home", "on board", "Aircraft documents", False),
        ("oil temp high", "in the green", "Engine gauges", False),
        ("off", "on", "Beacon", False),
        ("released", "set", "Parking brake", False),
        ("1500", "1013", "Altimeters", False),
        ("horn heard loud and clear", "heard", "Stall warning", True),
        ("closed and tied", "closed", "Bus tie", True),
        ("buckled in", "fastened", "Harnesses", True),
        ("door handles flush", "closed and latched", "Doors", True),
    ],
)
def test_a_reply_is_offered_only_if_it_may_mean_the_same(
    words: str, right: str, challenge: str, offered: bool
) -> None:
    """A person may still vouch for any other wording by name; it is not put to them."""
    item = PlannedItem("x", challenge, challenge, expected(right, challenge=challenge))
    assert bool(list(offer_of(item, [typed_utterance(words)], right, TABLES))) is offered


def test_no_labelled_wrong_reply_that_says_nothing_of_the_item_is_offered() -> None:
    offered = [
        row["reply"]
        for row in labelled("refuse")
        for _ in offer_of(
            PlannedItem("x", row["challenge"], row["challenge"], _item(row)),
            [typed_utterance(row["reply"])], "", TABLES,
        )
    ]  # fmt: skip
    assert len(offered) <= 3, offered


def test_no_contrary_of_any_state_is_ever_offered() -> None:
    """Whatever the tables hold to exclude a state, and in other words around it."""
    offered = []
    for state, others in TABLES.opposites.items():
        item = PlannedItem("x", "Thing", "Thing", expected(state, challenge="Thing"))
        for other in others:
            said = [typed_utterance(text) for text in (other, f"thing {other}", f"not {state}")]
            offered += [(state, o.words) for o in offer_of(item, said, state, TABLES)]
    assert not offered
