"""Each promise of the threat model names a test that is there; the bill of materials is whole."""

from __future__ import annotations

import re
from importlib.metadata import requires
from pathlib import Path

import callout
from callout.bench.upkeep.sbom import bill_of_materials

ROOT = Path(callout.__file__).parent


def test_each_promise_has_its_test() -> None:
    text = (ROOT / "THREATS.md").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line.startswith("| ") and "---" not in line]
    assert len(rows) > 8
    for row in rows[1:]:
        named = re.findall(r"`(tests/[\w/]+\.py)`", row)
        assert named, row
        assert [name for name in named if not Path(name).is_file()] == []


def test_the_bill_names_every_declared_library_with_its_version() -> None:
    """Fields that CycloneDX 1.5 requires of a document and of a component."""
    found = bill_of_materials("pytest")
    assert (found["bomFormat"], found["specVersion"]) == ("CycloneDX", "1.5")
    names = {one["name"] for one in found["components"]}
    assert {"iniconfig", "pluggy", "packaging"} <= names
    assert any(line.startswith("iniconfig") for line in requires("pytest") or ())
    for one in found["components"]:
        assert one["type"] == "library"
        assert one["purl"] == f"pkg:pypi/{one['name']}@{one['version']}"
    assert len({one["bom-ref"] for one in found["components"]}) == len(found["components"])
