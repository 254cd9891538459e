"""On the page, advice says what to open there and names no command that has a view."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.core.sentences.page_advice import for_the_page

SENTENCES = Path(__file__).parents[1] / "callout" / "core" / "sentences"
VIEWLESS = frozenset({"state", "forget", "collect", "cluster", "instructor", "answers", "does"})
"""Commands that the page has no view for, and words that follow the program's name."""
REACHED = ("advice", "debriefs", "session", "sound", "drill", "journals", "files", "reports",
           "sound_devices", "doctor", "settings_help")  # fmt: skip
"""Modules whose sentences reach the page."""


@pytest.mark.parametrize(
    ("terminal", "page"),
    [
        ("Practise with callout drill.", "Practise under Drills on this page."),
        ("Finish Taxi: callout resume.", "Finish Taxi: open Lists on this page."),
        (
            "The voice failed: callout doctor shows what is wrong.",
            "The voice failed: Sound check on this page shows what is wrong.",
        ),
        ("Run `callout journal` to see them.", "Open Debriefs on this page to see them."),
        (
            "Try it first: `callout mic --tool-voice`.",
            "Try it first: open Sound check on this page.",
        ),
        ("callout removes its built-in voice", "callout removes its built-in voice"),
        ("callout does not answer.", "callout does not answer."),
        ('Run: pip install "callout[photos]"', 'Run: pip install "callout[photos]"'),
        (
            "Record one with `callout state record FILE`.",
            "Record one with `callout state record FILE`.",
        ),
        ("", ""),
    ],
)
def test_a_command_becomes_the_view_that_does_the_same(terminal: str, page: str) -> None:
    assert for_the_page(terminal) == page
    assert for_the_page(page) == page


def texts_of(module: str) -> Iterator[str]:
    """Yield the sentences of a module, with a word for each part that is filled in."""
    tree = ast.parse((SENTENCES / f"{module}.py").read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(
                part.value
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
                else "X1"
                for part in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@pytest.mark.parametrize("module", REACHED)
def test_no_sentence_that_reaches_the_page_names_a_command_with_a_view(module: str) -> None:
    left = [
        text
        for text in map(for_the_page, texts_of(module))
        for name in re.findall(r"callout ([a-z]+)\b", text)
        if name not in VIEWLESS and f"`callout {name}" in text
    ]
    assert not left


@pytest.mark.parametrize(
    ("terminal", "page"),
    [
        ("Give it with `qnh:` in the flight file.", "Fill it in under Values of the flight."),
        ("Add `night: unknown` to its facts.", "Answer it under Values of the flight."),
        (
            'the flight file has no fact "night".',
            'the flight data has no fact "night".',
        ),
    ],
)
def test_advice_about_the_flight_file_leads_to_its_form(terminal: str, page: str) -> None:
    assert for_the_page(terminal) == page


def test_the_editor_is_told_what_to_write_and_no_key_alone() -> None:
    told = for_the_page("Add `wrong:` with the name of the other position.")
    assert "such as wrong: off" in told
    assert "`" not in told
