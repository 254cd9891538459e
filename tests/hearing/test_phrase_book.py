"""Phrases of an item: the same whatever was listened for before."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from callout.core.model.candidates import CandidateSet
from callout.hearing.embedded.phrases import Phrase
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from tests.hearing.recordings import embedded
from tests.hearing.test_embedded import phrases_for

pytestmark = pytest.mark.audio

ITEMS = (
    phrases_for("one zero one three", ("1018",)),
    phrases_for("one zero one eight", ("1013",)),
    phrases_for("on", ("off",)),
    phrases_for("off", ("on",)),
    phrases_for("both on", ("both off",)),
)


@pytest.fixture
def recogniser() -> Iterator[EmbeddedRecogniser]:
    made = embedded()
    yield made
    made.close()


def _listened(recogniser: EmbeddedRecogniser, item: CandidateSet) -> dict[str, Phrase]:
    recogniser.listen_for(item)
    return dict(recogniser.phrases.phrases)


@pytest.mark.parametrize("item", ITEMS)
def test_levels_and_roles_do_not_depend_on_the_items_before(
    recogniser: EmbeddedRecogniser, item: CandidateSet
) -> None:
    alone = _listened(recogniser, item)
    after = embedded()
    for other in (*ITEMS, *reversed(ITEMS)):
        after.listen_for(other)
    later = _listened(after, item)
    after.close()
    assert list(later) == list(alone)
    for text, phrase in alone.items():
        assert later[text].noise == pytest.approx(phrase.noise, abs=1e-3), text
        assert later[text].candidate == phrase.candidate


def test_an_answer_that_was_a_rival_before_is_an_answer_now(recogniser: EmbeddedRecogniser) -> None:
    """Words around an answer count, also where the same words were wrong at an earlier item."""
    recogniser.listen_for(phrases_for("on", ("off",)))
    recogniser.listen_for(phrases_for("off", ("on",)))
    assert recogniser.phrases.has_more("off", "left off right on")
    assert not recogniser.phrases.has_more("on", "left off right on")
    assert not recogniser.phrases.has_more("off", "often")


@pytest.mark.parametrize(
    ("expect", "written", "more"),
    [
        ("810 m", "Eight hundred ten meters.", False),
        ("145 kt", "One hundred forty-five nuts.", False),
        ("41 L left, 36 L right", "41 litters left 36 liters right", False),
        ("41 L left, 36 L right", "41 litters left 36 liters right not", True),
        ("145 kt", "One hundred forty-five not.", True),
        ("145 kt", "One hundred forty-five knots or less.", True),
    ],
)
def test_a_unit_spelled_in_another_way_is_nothing_more_than_the_answer(
    recogniser: EmbeddedRecogniser, expect: str, written: str, more: bool
) -> None:
    recogniser.listen_for(phrases_for(expect, ()))
    assert recogniser.phrases.has_more(expect, written) is more
