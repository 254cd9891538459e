"""The benchmark's lists are good ones, and its measure of growth is right."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.list_files.checking import check_paths
from callout.bench.load import FLIGHT, Timed, command, growth_power, list_text


def test_the_made_lists_have_sixty_items_and_only_their_length_against_them(tmp_path: Path) -> None:
    (tmp_path / "flight.yaml").write_text(FLIGHT)
    (tmp_path / "list-0.yaml").write_text(list_text(0))
    flight, made = check_paths([tmp_path])
    assert not flight.findings
    assert made.items == 60
    assert {finding.rule for finding in made.findings} == {"long-list"}


@pytest.mark.parametrize("power", [1.0, 2.0])
def test_growth_is_the_power(power: float) -> None:
    timed = [Timed(n, 0.0, 0.0, 0.01 * n**power, 0.0) for n in (10, 20, 40, 80)]
    assert growth_power(timed) == pytest.approx(power)


def test_the_command_runs_small() -> None:
    result = CliRunner().invoke(command, ["--sizes", "2", "--sizes", "4", "--items", "10"])
    assert result.exit_code == 0, result.output
    assert "to the power" in result.output
