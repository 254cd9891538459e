"""Two groups are compared where all else is alike; what could be shown is said."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from callout.app.reports.comparing import compared_pair, compared_pairs
from callout.bench.year import BEGAN
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.trend_words import compared_words
from callout.core.sentences import reports as sentences
from callout.reporting.significance import rates_differ

pytest.importorskip("scipy")


def met(
    list_id: str, aircraft: str, sessions: int, wrong: int, items: int = 4, person: str = "P"
) -> list[ItemFact]:
    """Return meetings of which every so-manieth goes wrong."""
    return list(_met(list_id, aircraft, sessions, wrong, items, person))


def _met(
    list_id: str, aircraft: str, sessions: int, wrong: int, items: int, person: str
) -> Iterator[ItemFact]:
    for number in range(sessions * items):
        session, item = divmod(number, items)
        off = wrong and number % wrong == number // wrong % wrong
        yield ItemFact(
            session_id=f"{person}-{list_id}-{aircraft}-{session}", began=BEGAN, person=person,
            aircraft=aircraft, list_id=list_id, phase=list_id, item_id=str(item), position=item,
            challenge="", asked=1, outcome=ItemOutcome.ANSWERED,
            deviations=(Deviation.MISMATCHED,) if off else (),
        )  # fmt: skip


def test_what_lies_in_the_aircraft_is_no_difference_of_the_lists() -> None:
    """Both lists go wrong once in forty in the one aircraft and once in six in the other."""
    taxi = met("taxi", "Calm", 60, 40) + met("taxi", "Busy", 15, 6)
    landing = met("landing", "Calm", 15, 40) + met("landing", "Busy", 60, 6)
    found = compared_pair("taxi", "landing", taxi, landing)
    assert rates_differ(found.a.hits, found.a.total, found.b.hits, found.b.total) < 0.001
    assert found.alike == sentences.SAME_PERSON_AND_AIRCRAFT
    assert found.p > 0.2
    assert found.low < 1 < found.high
    said = compared_words(found.judged(found.p))
    assert "no difference shown" in said
    assert "would be shown four times in five" in said
    assert "same aircraft" in said


def test_a_difference_in_the_same_aircraft_is_told_with_its_size() -> None:
    found = compared_pair("a", "b", met("a", "One", 60, 40), met("b", "One", 60, 5))
    assert found.p < 0.001
    assert 1 < found.low < found.times < found.high
    said = compared_words(found.judged(found.p))
    assert "they differ" in said
    assert "four times in five" not in said


def test_a_group_without_any_deviation_is_told_from_one_with_many() -> None:
    found = compared_pair("a", "b", met("a", "One", 60, 0), met("b", "One", 60, 5))
    assert found.p < 0.001
    assert found.high == 0, "there are no odds to tell"
    even = compared_pair("a", "b", met("a", "One", 60, 0), met("b", "One", 60, 0))
    assert even.p == 1
    assert rates_differ(0, 240, round(240 * even.least_share), 240) <= 0.05
    assert rates_differ(0, 240, round(240 * even.least_share) - 1, 240) > 0.05
    assert "% or more to show" in compared_words(even)


def test_other_people_in_other_aircraft_are_said_to_be_such() -> None:
    found = compared_pair("a", "b", met("a", "One", 30, 9), met("b", "Two", 30, 9, person="Q"))
    assert found.alike == sentences.NOTHING_ALIKE


def test_the_same_item_of_another_aircraft_is_held_alike() -> None:
    found = compared_pair("a", "b", met("list", "One", 30, 9), met("list", "Two", 30, 9))
    assert found.alike == sentences.SAME_PERSON_AND_ITEM


def test_an_item_is_compared_with_the_rest_of_its_list() -> None:
    whole = met("list", "One", 60, 9)
    item = [i for i in whole if i.item_id == "0"]
    [found] = compared_pairs({"list": whole, "list/0": item})
    assert (found.a.total, found.b.total) == (180, 60)
    same = compared_pairs({"list": whole, "again": list(whole)})
    assert [one.p for one in same] == [1]
