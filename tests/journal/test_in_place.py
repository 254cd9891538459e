"""A journal under two names, and one that vanishes or is replaced while a session writes it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from callout.core.conversation import records as c
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import (
    JsonlWriter,
    create_journal,
    in_use,
    line_of,
    reopen_journal,
)
from callout.journal.sector_files import SectorFiles
from callout.ports.journal import JournalInUse, JournalUnwritable
from tests.core.session_kit import Desk

WHEN = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


@pytest.fixture
def records() -> list[c.JournalRecord]:
    return Desk().start().say("off").say("on").say("skip, inoperative").say("hold").records


@pytest.fixture
def writer(tmp_path: Path) -> JsonlWriter:
    return create_journal(tmp_path / "journals", "x", WHEN, "abc123")


@pytest.mark.parametrize("link", [os.symlink, os.link], ids=["symbolic", "hard"])
def test_one_journal_under_two_names_has_one_lock(
    tmp_path: Path, writer: JsonlWriter, link: Callable[[Path, Path], None]
) -> None:
    other = tmp_path / "other.jsonl"
    link(Path(writer.where), other)
    assert in_use(other)
    with pytest.raises(JournalInUse):
        reopen_journal(other)
    writer.close()
    assert not in_use(other)
    again, _ = reopen_journal(other)
    assert in_use(Path(writer.where))
    with pytest.raises(JournalInUse):
        reopen_journal(Path(writer.where))
    again.close()


def test_the_folder_under_two_names_has_one_lock(tmp_path: Path, writer: JsonlWriter) -> None:
    (tmp_path / "also").symlink_to(tmp_path / "journals")
    with pytest.raises(JournalInUse):
        reopen_journal(tmp_path / "also" / Path(writer.where).name)


def _remove(path: Path) -> None:
    path.unlink()


def _remove_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


def _move_away(path: Path) -> None:
    path.rename(path.with_name("moved"))


def _replace(path: Path) -> None:
    beside = path.with_name("beside")
    beside.write_bytes(path.read_bytes()[:100])
    os.replace(beside, path)


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _append(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"{}\n")


def _folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _dangle(path: Path) -> None:
    path.unlink()
    path.symlink_to("nowhere")


LOSSES = [_remove, _remove_folder, _move_away, _replace, _empty, _append, _folder, _dangle]
ASIDE = {_replace, _empty, _append, _folder, _dangle}


@pytest.mark.parametrize("lose", LOSSES)
@pytest.mark.parametrize("resumed", [False, True])
def test_a_journal_that_is_lost_is_written_again_within_a_record(
    writer: JsonlWriter,
    records: list[c.JournalRecord],
    lose: Callable[[Path], None],
    resumed: bool,
) -> None:
    path = Path(writer.where)
    writer.append(records[:3])
    if resumed:
        writer.close()
        writer, _ = reopen_journal(path)
    assert writer.news() == ""
    lose(path)
    writer.append(records[3:4])
    said = writer.news()
    assert "nothing is lost" in said
    assert ("is kept as" in said) == (lose in ASIDE)
    assert len(list(path.parent.glob("*.aside-*"))) == (lose in ASIDE)
    assert writer.news() == ""
    writer.append(records[4:])
    assert writer.news() == ""
    with pytest.raises(JournalInUse):
        reopen_journal(path)
    writer.close()
    found = read_journal(path)
    assert list(found.records) == records
    assert not list(path.parent.glob(".*"))


def test_a_program_that_never_gives_up_is_not_fought_for_ever(
    writer: JsonlWriter, records: list[c.JournalRecord]
) -> None:
    path = Path(writer.where)
    writer.append(records[:1])
    for number in range(1, 100):
        path.with_name(f"{path.name}.aside-{number}").touch()
    _replace(path)
    with pytest.raises(JournalUnwritable, match="99 files"):
        writer.append(records[1:2])
    for number in range(1, 100):
        path.with_name(f"{path.name}.aside-{number}").unlink()
    writer.append(records[1:])
    writer.close()
    assert list(read_journal(path).records) == records


def test_a_journal_of_an_earlier_version_is_written_again_as_it_was(
    tmp_path: Path, records: list[c.JournalRecord]
) -> None:
    path = tmp_path / "old.jsonl"
    path.write_bytes(b"".join(line_of(record) for record in records[:3]) + b'{"torn')
    writer, found = reopen_journal(path)
    path.unlink()
    writer.append(records[3:])
    writer.close()
    assert found.torn
    assert list(read_journal(path).records) == records


def test_a_list_of_a_flight_is_held_from_when_it_is_read(
    tmp_path: Path, records: list[c.JournalRecord]
) -> None:
    """Also one set aside, which is written to much later: its journal may vanish before that."""
    made = create_journal(tmp_path, "list", WHEN, "abc123")
    made.append(records[:3])
    made.close()
    path = Path(made.where)
    files = SectorFiles(tmp_path, create_journal(tmp_path / "flights", "flight", WHEN, "abc123"))
    assert list(files.records_of(path.stem)) == records[:3]
    assert files.records_of("another") == ()
    with pytest.raises(JournalInUse):
        reopen_journal(path)
    path.unlink()
    files.go_to(path.stem)
    files.append(records[3:])
    assert "nothing is lost" in files.news()
    files.close()
    assert list(read_journal(path).records) == records


def test_a_journal_that_is_replaced_while_it_is_opened_is_not_cut(
    tmp_path: Path, records: list[c.JournalRecord], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = create_journal(tmp_path, "x", WHEN, "abc123")
    made.append(records)
    made.close()
    path, true = Path(made.where), tmp_path / "true"
    os.link(path, true)
    whole = true.read_bytes()
    lines = whole.splitlines(keepends=True)
    reads: list[Path] = []

    def read(where: Path) -> JournalRead:
        if not reads:
            (tmp_path / "older").write_bytes(b"".join(lines[:2]))
            os.replace(tmp_path / "older", path)
        reads.append(where)
        return read_journal(where)

    monkeypatch.setattr("callout.journal.jsonl_writer.read_journal", read)
    again, found = reopen_journal(path)
    again.close()
    assert list(found.records) == records[:2]
    assert true.read_bytes() == whole
