"""Other people's lists read in, and written as list files that can be read back."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.authoring.sources import known_rivals
from callout.app.shared.located_yaml import parse_yaml
from callout.core.authoring.guesses import draft_of
from callout.core.authoring.texts import read_list_text, read_table
from callout.core.formats.draft_yaml import yaml_of
from callout.core.formats.drafts import Draft, DraftItem, DraftSection, phase_of
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist, Phase
from callout.hidden import hidden_places

TEXT = """BEFORE START CHECKLIST

CABIN
1. SEAT BELTS ........ FASTENED
2. DOORS ............. CLOSED AND LATCHED / BOTH LATCHED
Caution: hold them shut

Engine:
* Fuel selector - left or right
* **Mixture** ... rich
[ ] Avionics      off
\u2610 APU\tOFF
- Altimeter: 1013 hPa
- Area

Before start checklist complete
"""


def draft_from_text(text: str) -> Draft:
    return draft_of(read_list_text(text, known_rivals()))


def draft_from_rows(rows: list[list[str]]) -> Draft:
    return draft_of(read_table(rows, known_rivals()))


def read(text: str) -> Checklist:
    return checklist_from(parse_yaml(text, "made"), "made")


def test_a_text_is_read_line_by_line() -> None:
    draft = draft_from_text(TEXT)
    assert draft.title == "Before start"
    assert draft.completion_call == "before start checklist complete"
    assert [section.title for section in draft.sections] == ["Cabin", "Engine"]
    found = [(item.challenge, item.responses) for item in draft.items]
    assert found == [
        ("Seat belts", ("fastened",)),
        ("Doors", ("closed and latched", "both latched")),
        ("Fuel selector", ("left", "right")),
        ("Mixture", ("rich",)),
        ("Avionics", ("off",)),
        ("APU", ("off",)),
        ("Altimeter", ("1013 hPa",)),
        ("Area", ()),
    ]
    assert [item.challenge for item in draft.items if item.critical] == ["Mixture"]
    assert draft.items[1].caution == "hold them shut"


@pytest.mark.parametrize(
    "line",
    [
        "Fuel pump ..... on", "Fuel pump\u2026\u2026on", "Fuel pump . . . . on", "Fuel pump\ton",
        "Fuel pump: on", "Fuel pump - on", "Fuel pump \u2013 on", "Fuel pump      on",
        "3) Fuel pump ___ on", "- [ ] Fuel pump: on", "\u2022 Fuel pump \u2192 on",
        "| Fuel pump | on |\n| Trim | up |",
    ],
)  # fmt: skip
def test_what_stands_between_challenge_and_response(line: str) -> None:
    draft = draft_from_text(f"Taxi\n\n{line}\n")
    assert (draft.items[0].challenge, draft.items[0].responses) == ("Fuel pump", ("on",))


def test_a_markdown_table_with_headings() -> None:
    text = """# Taxi checklist

| Item | Response | Critical |
|---|:-:|---|
| Brakes | on \\| off | yes |
"""
    draft = draft_from_text(text)
    assert draft.title == "Taxi"
    assert draft.items == (DraftItem("Brakes", ("on", "off"), critical=True),)


def test_rows_by_their_headings_and_without_any() -> None:
    named = [["Position", "Challenge", "Notes"], ["on", "Beacon", "see it turn"]]
    assert draft_from_rows(named).items == (DraftItem("Beacon", ("on",), note="see it turn"),)
    bare = [["Cabin", ""], ["Beacon", "on"], ["", ""]]
    assert draft_from_rows(bare).sections == (
        DraftSection("Cabin", (DraftItem("Beacon", ("on",)),)),
    )


@pytest.mark.parametrize(
    ("title", "phase"),
    [
        ("Before take-off", Phase.BEFORE_TAKEOFF),
        ("BEFORE TAKEOFF CHECKLIST", Phase.BEFORE_TAKEOFF),
        ("After start", Phase.AFTER_START),
        ("Engine fire on the ground", Phase.NON_NORMAL),
        ("Shutdown", Phase.PARKING),
        ("Something else", Phase.BEFORE_START),
    ],
)
def test_the_phase_is_told_from_the_title(title: str, phase: Phase) -> None:
    assert phase_of(title) is phase


words = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=30
).map(lambda text: " ".join(text.split()))
said = words.filter(
    lambda text: (
        any(c.isalnum() for c in text) and not {"{", "}"} & set(text) and not hidden_places(text)
    )
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(said, said), min_size=1, max_size=6, unique_by=lambda pair: pair[0]))
def test_whatever_was_read_in_is_read_back(pairs: list[tuple[str, str]]) -> None:
    items = tuple(DraftItem(challenge, (response,)) for challenge, response in pairs)
    draft = Draft("A list", (DraftSection("", items),))
    for teach in (True, False):
        try:
            made = read(yaml_of(draft, teach=teach))
        except Exception as error:
            assert "challenged twice" in str(error) or "no word in it" in str(error)  # noqa: PT017
            continue
        assert [(i.challenge, i.responses[0].text) for i in made.items] == pairs


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300))
def test_any_text_gives_a_draft(text: str) -> None:
    draft_from_text(text)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12), max_size=5), max_size=6))
def test_any_rows_give_a_draft(rows: list[list[str]]) -> None:
    draft_from_rows(rows)
