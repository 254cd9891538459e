"""Every shipped list against the judge: right replies are taken, named wrong ones are not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.model.checklist import Item
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Verdict
from callout.core.planning.resolve import expectation_for

TABLES = default_tables()
SHIPPED = Path(__file__).parents[3] / "checklists"
LISTS = [
    path
    for path in sorted(SHIPPED.rglob("*.yaml"))
    if path.name != "flight.yaml" and path.parent.name != "overlays"
]


def expectations(path: Path) -> Iterator[tuple[Item, Expectation]]:
    """Yield every item with what it expects, each condition made true."""
    checklist = load_checklist(path)
    beside = flight_beside(path)
    assert beside is not None
    flight = load_flight(beside)
    for item in checklist.items:
        yield item, expectation_for(checklist, item, flight, TABLES)


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.stem)
def test_right_replies_are_accepted_as_spoken(path: Path) -> None:
    for item, expectation in expectations(path):
        for answer in expectation.accepted:
            for said in spoken_forms(answer, TABLES, limit=4):
                judged = judge_reply(said, expectation, TABLES)
                assert judged.verdict is Verdict.MATCH, (item.id, said, judged.reason)


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.stem)
def test_named_wrong_replies_are_refused(path: Path) -> None:
    for item, expectation in expectations(path):
        for wrong in expectation.wrong:
            judged = judge_reply(wrong.answer.text, expectation, TABLES)
            assert judged.verdict is Verdict.MISMATCH, (item.id, wrong.answer.text, judged)


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.stem)
def test_values_one_off_are_not_accepted(path: Path) -> None:
    """A number past its tolerance is never taken, whatever the item."""
    for item, expectation in expectations(path):
        for answer in () if item.leads else expectation.accepted:
            shifted = replace(
                answer,
                parts=tuple(
                    replace(part, number=part.number + part.tolerance + 1)
                    if hasattr(part, "number")
                    else part
                    for part in answer.parts
                ),
            )
            if shifted != answer:
                said = spoken_forms(shifted, TABLES, limit=1)[0]
                judged = judge_reply(said, expectation, TABLES)
                assert judged.verdict is not Verdict.MATCH, (item.id, said)


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.stem)
def test_every_critical_item_asks_for_its_state(path: Path) -> None:
    """Published guidance: Degani and Wiener (1993), guideline 1; FAA AC 120-71B, para 5.4."""
    for item, expectation in expectations(path):
        if item.critical:
            brake = "brake" in expectation.challenge.lower()  # "set" is the state of a brake lever
            for bare in ("checked", "as required") + (() if brake else ("set",)):
                assert judge_reply(bare, expectation, TABLES).verdict is not Verdict.MATCH, item.id
