"""What the README shows is what the program does."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from callout.app.shared.checklist_files import load_checklist
from callout.app.shared.command_tables import default_commands

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PICTURES = sorted((ROOT / "callout" / "bench" / "pictures").glob("*.svg"))


def _blocks(kind: str) -> list[str]:
    return re.findall(rf"```{kind}\n(.*?)```", README, re.DOTALL)


def test_the_list_of_ten_lines_is_ten_lines_and_can_be_used(tmp_path: Path) -> None:
    [text] = _blocks("yaml")
    assert len(text.splitlines()) == 10
    path = tmp_path / "before-start.yaml"
    path.write_text(text)
    assert [item.id for item in load_checklist(path).items] == ["doors", "altimeter", "beacon"]


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["readme", "developers"])
def test_links_lead_to_files(text: str) -> None:
    for target in re.findall(r"\]\(([^)#]+)", text):
        assert (ROOT / target).exists(), target


def test_keys_and_words_in_the_table_are_the_programs_own() -> None:
    rows = re.findall(r"^\| ([a-z ,]+) \| (\S+) \| ", README, re.MULTILINE)
    assert len(rows) >= 8
    table = default_commands()
    keys = {key for entry in table.entries for key in entry.keys}
    names = {"esc": "escape"}
    for said, key in rows:
        words = said.partition(",")[0]
        assert words in table.phrases()
        assert names.get(key.lower(), key.lower()) in keys


@pytest.mark.parametrize("path", PICTURES, ids=lambda path: path.stem)
def test_pictures_are_whole_and_load_nothing_from_elsewhere(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    ET.fromstring(text)
    assert set(re.findall(r"https?://[^\"') ]+", text)) == {"http://www.w3.org/2000/svg"}


def test_there_is_a_picture_in_the_readme() -> None:
    assert any(path.relative_to(ROOT).as_posix() in README for path in PICTURES)
