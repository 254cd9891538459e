"""Damaged inputs, in numbers that fit a test run; `callout bench fuzz` takes 50,000 of each."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.shared.found_files import yaml_files
from callout.bench.hostile.fuzz import Tally, Tried, process_input, run_inputs
from callout.bench.hostile.kinds import KINDS, Kind, input_of, open_target
from callout.bench.hostile.lists import check_text

ROOT = Path(__file__).parents[2]
FIRST = 1_000_000
"""Other inputs than those of the table in callout/bench/results."""
COUNTS = {"lists": 500, "recordings": 300, "workbooks": 150, "conditions": 500, "queries": 60,
          "pdf": 60, "word": 30, "packs": 30, "photos": 10}  # fmt: skip

NEEDS = {"pdf": ("pypdfium2",), "word": ("docx",), "photos": ("rapidocr", "cv2")}


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_damaged_is_read_or_refused(kind: str, tmp_path: Path) -> None:
    if kind in ("queries", "journals"):
        pytest.importorskip("duckdb")
    for needed in NEEDS.get(kind, ()):
        pytest.importorskip(needed)
    tally = Tally(kind)
    for one in run_inputs(KINDS[kind], ROOT, FIRST, COUNTS.get(kind, 60), tmp_path):
        tally.add(one)
    assert [one for one in tally.failures if one.became in ("crashed", "died", "hung")] == []
    assert sum(tally.outcomes.values()) == COUNTS.get(kind, 60)
    assert tally.outcomes["taken"] > 0
    assert tally.outcomes["refused"] > 0


@pytest.mark.parametrize("kind", ["workbooks", "queries"])
def test_the_command_itself_takes_it_in_a_process_of_its_own(kind: str, tmp_path: Path) -> None:
    pytest.importorskip("duckdb")
    target = open_target(KINDS[kind], ROOT, tmp_path)
    assert {process_input(target, seed).became for seed in range(8)} == {"taken", "refused"}


def test_an_input_is_the_same_each_time(tmp_path: Path) -> None:
    target = open_target(KINDS["lists"], ROOT, tmp_path)
    assert input_of(target, 5) == input_of(target, 5) != input_of(target, 6)


def test_what_is_whole_is_taken() -> None:
    for path in yaml_files(ROOT / "checklists"):
        assert check_text(path.read_text(encoding="utf-8")) == "taken"


@pytest.mark.parametrize("way", ["died", "hung", "crashed"])
def test_a_worker_that_fails_is_told_and_the_next_input_taken(
    way: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CALLOUT_TEST_WAY", way)
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.setattr("callout.bench.hostile.fuzz.HUNG_S", 4.0)
    found = list(run_inputs(Kind("tests.bench.fatal_input", "FatalInput"), ROOT, 7, 2, tmp_path))
    assert [(one.seed, one.became) for one in found] == [(7, way), (8, way)]


def test_slow_and_greedy_inputs_count_as_failures() -> None:
    tally = Tally("any")
    mb = 50.0
    slow, greedy = Tried(2, "taken", "", 2.5, mb), Tried(3, "taken", "", 0.1, mb + 350)
    for one in (Tried(1, "taken", "", 0.1, mb), slow, greedy, Tried(4, "refused", "", 0.1, mb)):
        tally.add(one)
    assert [(one.seed, one.why) for one in tally.failures] == [(2, "2.5 s"), (3, "350 MB")]
    assert tally.line() == "| any | 4 | 1 refused, 3 taken | 2 | 2.50 s | 50 to 400 MB |"
