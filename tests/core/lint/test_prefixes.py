"""Replies told apart by a weak first syllable alone are noted, never warned of."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.list_files.checking import check_paths, count_findings
from callout.core.lint.finding import Severity
from callout.core.lint.prefixes import prefix_between
from callout.core.lint.rules import RULES

SHIPPED = Path(__file__).parents[3] / "checklists"
TEXT = """\
callout: 1
id: doors
title: Doors
phase: taxi
method: challenge-and-response
complete: doors checklist complete
items:
  - {id: door, challenge: Door, response: %s, wrong: %s}
"""


@pytest.mark.parametrize(
    ("longer", "shorter", "prefix"),
    [
        ("unlocked", "locked", "un"),
        ("Disarmed", "armed", "dis"),
        ("all disconnected", "all connected", "dis"),
        ("closed and unlatched", "closed and latched", "un"),
        ("inactive", "active", "in"),
        ("decoupled", "coupled", "de"),
        ("locked", "unlocked", ""),
        ("open", "closed", ""),
        ("blocked", "locked", ""),
        ("under", "der", "un"),
        ("union", "ion", "un"),
        ("union", "on", ""),
        ("unlocked door", "locked", ""),
        ("unlocked and disarmed", "locked and armed", ""),
    ],
)
def test_prefixes(longer: str, shorter: str, prefix: str) -> None:
    assert prefix_between(longer, shorter) == prefix


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ("locked", "unlocked", 'the wrong reply "unlocked" is the right one'),
        ("disarmed", "armed", 'the reply "disarmed" is the wrong one'),
        ("closed", "open", ""),
    ],
)
def test_the_note(tmp_path: Path, right: str, wrong: str, says: str) -> None:
    path = tmp_path / "doors.yaml"
    path.write_text(TEXT % (right, wrong))
    found = [f for f in check_paths([path], notes=True)[0].findings if f.rule == "lost-prefix"]
    assert [f.severity for f in found] == [Severity.NOTE] * bool(says)
    assert all(says in f.message for f in found)
    assert check_paths([path])[0].findings == ()
    assert count_findings(check_paths([path], notes=True)) == (0, 0)


def test_it_can_be_allowed_with_a_reason(tmp_path: Path) -> None:
    path = tmp_path / "doors.yaml"
    text = TEXT % ("locked", "unlocked")
    path.write_text(text.replace("wrong: unlocked", "wrong: unlocked, allow: {lost-prefix: ours}"))
    assert check_paths([path], notes=True)[0].findings == ()


def test_shipped_lists_raise_no_more_than_notes() -> None:
    findings = [f for file in check_paths([SHIPPED], notes=True) for f in file.findings]
    assert {f.severity for f in findings} == {Severity.NOTE}
    assert {f.rule for f in findings} == {"lost-prefix"}
    assert next(r for r in RULES if r.id == "lost-prefix").severity is Severity.NOTE
