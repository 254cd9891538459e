"""The wheel carries every package, the lists and the recordings."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

import callout
from callout.app.shared.shipped import CHECKLISTS, RECORDINGS, shipped_folder
from callout.errors import CalloutError

ROOT = Path(callout.__file__).parents[1]
pytestmark = pytest.mark.skipif(
    not (ROOT / "pyproject.toml").exists(), reason="needs the source tree"
)


def _declared() -> dict[str, Path]:
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    setup = told["tool"]["setuptools"]
    elsewhere = setup["package-dir"]
    return {name: ROOT / elsewhere.get(name, name.replace(".", "/")) for name in setup["packages"]}


def test_every_package_is_declared() -> None:
    there = {path.parent for path in (ROOT / "callout").rglob("__init__.py")}
    declared = {
        folder for folder in _declared().values() if folder.is_relative_to(ROOT / "callout")
    }
    assert declared == there, "pyproject.toml, tool.setuptools.packages: name every package there"


def test_the_lists_and_recordings_are_packaged() -> None:
    declared = _declared()
    assert declared["callout.checklists"] == ROOT / CHECKLISTS
    assert declared["callout.audio_fixtures"] == ROOT / RECORDINGS


def test_shipped_folders_are_found_in_the_source_and_when_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert (shipped_folder(CHECKLISTS) / "README.md").is_file()
    package = tmp_path / "callout"
    (package / CHECKLISTS).mkdir(parents=True)
    monkeypatch.setattr(callout, "__file__", str(package / "__init__.py"))
    assert shipped_folder(CHECKLISTS) == package / CHECKLISTS
    with pytest.raises(CalloutError, match=RECORDINGS):
        shipped_folder(RECORDINGS)
