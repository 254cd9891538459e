"""What the check of a folder finds that no file shows by itself."""

from __future__ import annotations

from pathlib import Path

from callout.app.list_files.checking import check_paths, count_findings
from callout.core.formats.draft_yaml import yaml_of
from callout.core.formats.drafts import Draft, DraftItem, DraftSection


def test_two_lists_of_one_folder_with_one_id_are_an_error(tmp_path: Path) -> None:
    draft = Draft("Taxi", (DraftSection("", (DraftItem("Beacon", ("on",)),)),))
    for name in ("taxi", "taxi-again"):
        (tmp_path / f"{name}.yaml").write_text(yaml_of(draft), encoding="utf-8")
    checked = check_paths([tmp_path])
    assert count_findings(checked)[0] == 1
    assert "taxi-again.yaml" in next(f.message for file in checked for f in file.findings)
