"""Every seeded defect is found, and nothing else is."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.list_files.sarif import OTHER_RULES
from callout.bench.check import check_outcomes, command
from callout.bench.defects import defect_corpus
from callout.core.lint.finding import Severity
from callout.core.lint.rules import RULES

SHIPPED = Path(__file__).parents[2] / "checklists"


def test_there_are_enough_defects_and_every_rule_has_one() -> None:
    made = defect_corpus()
    assert len(made.defects) >= 60
    seeded = {rule for defect in made.defects for rule in defect.rules}
    unseen = {"file", "unknown-words", "heard-as-another", "never-understood"}
    assert {rule.id for rule in RULES if rule.severity is not Severity.NOTE} <= seeded
    assert {*OTHER_RULES} - unseen <= seeded


def test_all_are_found_and_clean_lists_raise_nothing() -> None:
    wrong = [o for o in check_outcomes(defect_corpus()) if o.missed or o.false]
    assert not wrong


def test_the_command_prints_both_shares() -> None:
    result = CliRunner().invoke(command, ["--per-rule", "--also", str(SHIPPED)])
    assert result.exit_code == 0, result.output
    assert "precision 100.00%" in result.output
    assert "recall    100.00%" in result.output


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_rule_says_why_and_where_that_comes_from(rule: object) -> None:
    reason, source = rule.reason, rule.source  # type: ignore[attr-defined]
    assert reason.endswith(".")
    published = any(char.isdigit() for char in source)
    assert published or "common practice" in source or "from memory" in source
