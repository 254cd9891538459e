"""The measurement of a session measures something; no figure is held to a time."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from callout.bench.session import Figures, command, figure_table

FIGURES = Figures(
    machine="a machine",
    python="3.11",
    first_challenge_s=(0.5, 0.6, 5),
    compute_ms=(100.0, 200.0, 50),
    verdict_ms=(400.0, 700.0, 50),
    candidates=(60, 110),
    real_time_factor=0.1,
    memory_mb=None,
    peak_mb=300.4,
)


def test_the_table_names_machine_figures_and_targets() -> None:
    lines = list(figure_table(FIGURES))
    assert lines[0].startswith("a machine, Python 3.11")
    text = "\n".join(lines)
    for part in ("0.5", "400.0", "at most 2", "unknown", "300"):
        assert part in text


@pytest.mark.audio
def test_a_real_run_gives_every_figure() -> None:
    done = CliRunner().invoke(command, ["--runs", "1", "--json"])
    assert done.exit_code == 0, done.output
    told = json.loads(done.output)
    assert set(told) == {name for name in Figures.__dataclass_fields__}
    assert told["first_challenge_s"][0] > 0
    assert told["compute_ms"][2] >= 14
    assert told["verdict_ms"][0] > told["compute_ms"][0]
    assert told["candidates"][0] > 20
