"""What a record names is a journal only if it is a plain file name in the folder it belongs to."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import read_journal
from callout.journal.sector_files import SectorFiles, is_journal_name, journal_named, new_sector

STRANGE = ("", "../other", "a/b", "x" * 70_000, "a\0b", [0] * 5_000, None, 7)


@pytest.mark.parametrize("name", STRANGE, ids=lambda name: repr(name)[:12])
def test_a_strange_name_is_no_journal(tmp_path: Path, name: object) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "other.jsonl").write_text("")
    assert journal_named(tmp_path / "in", name) is None
    assert not is_journal_name(name)


def test_a_plain_name_is_one_where_the_file_is_there(tmp_path: Path) -> None:
    assert journal_named(tmp_path, "20311231T235959Z-before-start-0a1b2c") is None
    path = tmp_path / "20311231T235959Z-before-start-0a1b2c.jsonl"
    path.write_text("")
    assert journal_named(tmp_path, path.stem) == path


def test_a_list_of_a_flight_is_never_written_elsewhere(tmp_path: Path) -> None:
    folder = tmp_path / "journals"
    _, own = new_sector(folder, datetime(2031, 1, 1, tzinfo=UTC), "x")
    files = SectorFiles(folder, own)
    golden = Path(__file__).parents[1] / "data" / "journals" / "crews-mistakes.jsonl"
    held = read_journal(golden).records[:1]
    files.go_to("../stray")
    with pytest.raises(JournalDamaged, match="cannot be a file name"):
        files.append(held)
    assert not (tmp_path / "stray.jsonl").exists()
    own.close()
