"""What stands on a printed card, and what must stand together."""

from __future__ import annotations

from dataclasses import replace

from callout.app.shared.tables import default_tables
from callout.core.printing.card import LineKind, card_lines, line_groups
from callout.core.printing.shown_list import shown_list
from tests.core.flight_kit import FLIGHT, LISTS, flight, written


def test_a_card_names_aircraft_and_day_and_is_complete() -> None:
    shown = shown_list(written(LISTS[1]), flight(FLIGHT), default_tables())
    lines = list(card_lines(replace(shown, facts=(("Aircraft", "Invented One"),)), "2031-05-04"))
    assert [line.text for line in lines[:2]] == ["Before start", "Invented One, printed 2031-05-04"]
    items = [line.text for line in lines if line.kind is LineKind.ITEM]
    assert items == ["Take-off data", "Refuelling", "Beacon"]


def test_the_completion_call_never_stands_alone() -> None:
    lines = list(
        card_lines(shown_list(written(LISTS[1]), flight(FLIGHT), default_tables()), "2031-05-04")
    )
    last = list(line_groups(lines))[-1]
    assert [line.kind for line in last][-2:] == [LineKind.ITEM, LineKind.CALL]
