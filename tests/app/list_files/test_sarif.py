"""The SARIF log, read back by Microsoft's own reader and object model (packages sarif-*)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.cli.main import app

BAD = """callout: 1
id: taxi
title: Taxi
phase: taxi
method: challenge-and-response
complete: done
items:
  - {id: brakes, challenge: Brakes, response: set}
"""


@pytest.fixture
def log(tmp_path: Path) -> Path:
    (tmp_path / "taxi.yaml").write_text(BAD)
    (tmp_path / "broken.yaml").write_text("callout: 9\n")
    result = CliRunner().invoke(app, ["check", "--sarif", str(tmp_path)])
    assert result.exit_code == 2
    path = tmp_path / "log.sarif"
    path.write_text(result.stdout)
    return path


def test_an_independent_reader_counts_the_same(log: Path) -> None:
    loader = pytest.importorskip("sarif.loader")
    found = loader.load_sarif_file(str(log))
    records = found.get_records()
    assert [r["Severity"] for r in records].count("warning") == 2
    assert {r["Severity"] for r in records} == {"error", "warning"}
    assert any(r["Location"].endswith("taxi.yaml") and r["Line"] == 8 for r in records)


def test_the_fields_are_those_of_the_standard(log: Path) -> None:
    """SARIF 2.1.0, sections 3.13 (log), 3.14 (run), 3.27 (result), as in the object model."""
    model = pytest.importorskip("sarif_om")
    data = json.loads(log.read_text())
    assert data["version"] == "2.1.0"
    kinds = {"run": model.Run, "result": model.Result, "rule": model.ReportingDescriptor}
    known = {
        name: {field.metadata["schema_property_name"] for field in cls.__attrs_attrs__}
        for name, cls in kinds.items()
    }
    run = data["runs"][0]
    assert set(run) <= known["run"]
    assert all(set(result) <= known["result"] for result in run["results"])
    assert all(set(rule) <= known["rule"] for rule in run["tool"]["driver"]["rules"])
    ids = {rule["id"] for rule in run["tool"]["driver"]["rules"]}
    assert {result["ruleId"] for result in run["results"]} <= ids


def test_strict_is_for_continuous_integration(tmp_path: Path) -> None:
    (tmp_path / "taxi.yaml").write_text(BAD)
    assert CliRunner().invoke(app, ["check", str(tmp_path)]).exit_code == 0
    assert CliRunner().invoke(app, ["check", "--strict", str(tmp_path)]).exit_code == 1


def test_the_rules_are_printed_with_their_sources() -> None:
    result = CliRunner().invoke(app, ["check", "--rules"])
    assert "Degani and Wiener" in result.output
    assert "vague-response" in result.output
