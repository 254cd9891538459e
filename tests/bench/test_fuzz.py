"""Damaged files, in a number that fits a test run; `callout bench fuzz` takes 50,000."""

from __future__ import annotations

from pathlib import Path

from callout.app.shared.found_files import yaml_files
from callout.bench.fuzz import run, take

SHIPPED = Path(__file__).parents[2] / "checklists"


def test_a_thousand_damaged_files_are_read_or_refused() -> None:
    outcomes = list(run(yaml_files(SHIPPED), 1_000, 0))
    assert not [failure for _, failure in outcomes if failure]
    kinds = [outcome for outcome, _ in outcomes]
    assert 50 < kinds.count("taken") < 950, "both ways are tried"


def test_what_is_whole_is_taken() -> None:
    for path in yaml_files(SHIPPED):
        assert take(path.read_text(encoding="utf-8")) == "taken"
