"""Which journals a wish to forget is about."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from callout.core.keeping.forgetting import Heading, Wish, choose_journals, crew_members


def _day(day: int) -> datetime:
    return datetime(2026, 3, day, tzinfo=UTC)


HEADINGS = (
    Heading("a", _day(1), "Marla Quint"),
    Heading("b", _day(2), "marla  quint"),
    Heading("c", _day(3), "Marla Quint & Otto Brand"),
    Heading("d", _day(4), "Otto Brand"),
    Heading("flight", _day(5), "Marla Quint"),
    Heading("list", _day(6), "", "flight"),
    Heading("nobody", _day(7)),
    Heading("damaged", None, ""),
)


@pytest.mark.parametrize(
    ("wish", "forget", "shared"),
    [
        (Wish("MARLA QUINT"), {"a", "b", "flight", "list"}, {"c"}),
        (Wish("Marla Quint", shared=True), {"a", "b", "c", "flight", "list"}, set()),
        (Wish("Otto Brand"), {"d"}, {"c"}),
        (Wish("Marla"), set(), set()),
        (Wish(since=_day(3), until=_day(5)), {"c", "d"}, set()),
        (Wish(since=_day(5), until=_day(6)), {"flight", "list"}, set()),
        (Wish(since=_day(6), until=_day(7)), set(), set()),
        (Wish("Marla Quint", until=_day(2)), {"a"}, set()),
    ],
)
def test_a_wish_is_about_these(wish: Wish, forget: set[str], shared: set[str]) -> None:
    found = choose_journals(HEADINGS, wish)
    assert (found.forget, found.shared) == (forget, shared)


@pytest.mark.parametrize("crew", ["Ada & Ben", "Ada and Ben", "Ada, Ben", "Ada/Ben", "Ada + Ben"])
def test_a_crew_of_two_is_two_people(crew: str) -> None:
    assert crew_members(crew) == ("Ada", "Ben")


def test_a_name_with_letters_of_and_is_one_person() -> None:
    assert crew_members("Andrea Sandoval") == ("Andrea Sandoval",)
