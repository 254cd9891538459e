"""What every journal promises (callout/ports/journal.py), and what one on disk adds."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import replay_list
from callout.core.conversation import records as c
from callout.errors import JournalDamaged
from callout.journal.journal_order import newest_paths
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import JsonlWriter, create_journal, in_use, reopen_journal
from callout.journal.summary import JournalInfo, info_of, newest_first
from callout.ports.journal import JournalInUse, JournalUnwritable
from tests.core.session_kit import Desk

WHEN = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


def session() -> list[c.JournalRecord]:
    return Desk().start().say("off").say("on").say("skip, inoperative").say("hold").records


@pytest.fixture
def writer(tmp_path: Path) -> JsonlWriter:
    return create_journal(tmp_path, "before-start", WHEN, "abc123")


def test_records_come_back_in_order(writer: JsonlWriter) -> None:
    records = session()
    for record in records:
        writer.append([record])
    writer.close()
    writer.close()
    found = read_journal(Path(writer.where))
    assert list(found.records) == records
    assert found.torn == ""


def test_each_line_is_one_json_object_with_schema_sequence_and_utc(writer: JsonlWriter) -> None:
    writer.append(session())
    for number, line in enumerate(Path(writer.where).read_text().splitlines(), 1):
        fields = json.loads(line)
        assert fields["schema"] == c.SCHEMA_VERSION
        assert fields["seq"] == number
        assert fields["utc"].endswith("Z")


def test_records_are_synced_before_append_returns(
    writer: JsonlWriter, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[int] = []
    real = os.fsync

    def noted(file: int) -> None:
        synced.append(os.fstat(file).st_size)
        real(file)

    monkeypatch.setattr(os, "fsync", noted)
    writer.append(session()[:2])
    assert synced == [Path(writer.where).stat().st_size]


def test_what_was_heard_is_kept_word_for_word(writer: JsonlWriter) -> None:
    odd = 'off \u2028 "quoted" \N{GRINNING FACE} \udc80 \x00 end'
    desk = Desk().start().type(odd)
    writer.append(desk.records)
    replied = [x for x in read_journal(Path(writer.where)).records if isinstance(x, r.Replied)]
    assert replied[0].utterance.transcript == odd


def test_a_write_that_fails_half_way_leaves_no_trace(
    writer: JsonlWriter, monkeypatch: pytest.MonkeyPatch
) -> None:
    records = session()
    writer.append(records[:3])
    kept = Path(writer.where).read_bytes()
    real = os.write
    with monkeypatch.context() as broken:
        broken.setattr(os, "write", lambda file, data: _half(real, file, data))
        with pytest.raises(JournalUnwritable, match="No space left"):
            writer.append(records[3:5])
    assert Path(writer.where).read_bytes() == kept
    writer.append(records[3:])
    assert list(read_journal(Path(writer.where)).records) == records


def _half(write: Callable[[int, bytes], int], file: int, data: bytes) -> int:
    if len(data) < 40:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    return write(file, bytes(data)[: len(data) // 2])


def test_a_closed_journal_keeps_nothing_more(writer: JsonlWriter) -> None:
    writer.close()
    with pytest.raises(JournalUnwritable):
        writer.append(session()[:1])


def test_two_sessions_never_share_a_file(tmp_path: Path, writer: JsonlWriter) -> None:
    other = create_journal(tmp_path, "before-start", WHEN, "abc124")
    assert other.where != writer.where
    with pytest.raises(JournalInUse):
        create_journal(tmp_path, "before-start", WHEN, "abc124")
    other.close()
    with pytest.raises(JournalUnwritable, match="exists"):
        create_journal(tmp_path, "before-start", WHEN, "abc124")
    with pytest.raises(JournalInUse):
        reopen_journal(Path(writer.where))
    assert in_use(Path(writer.where))
    writer.close()
    assert not in_use(Path(writer.where))


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(JournalUnwritable, match="file"):
        create_journal(tmp_path / "file" / "journals", "x", WHEN, "a")


@pytest.mark.parametrize("list_id", ["../../etc/passwd", "", "a/b\\c:d", "é" * 80])
def test_a_list_id_never_leads_out_of_the_folder(tmp_path: Path, list_id: str) -> None:
    made = create_journal(tmp_path, list_id, WHEN, "abc123")
    assert Path(made.where).parent == tmp_path


@given(st.integers(min_value=1))
@settings(max_examples=60, deadline=None)
def test_cut_anywhere_only_the_last_line_is_lost(
    tmp_path_factory: pytest.TempPathFactory, place: int
) -> None:
    records = session()
    folder = tmp_path_factory.mktemp("cut")
    made = create_journal(folder, "x", WHEN, "a")
    made.append(records)
    made.close()
    path = Path(made.where)
    whole = path.read_bytes()
    size = place % len(whole)
    path.write_bytes(whole[:size])
    found = read_journal(path)
    assert list(found.records) == records[: len(found.records)]
    assert found.size == whole.rfind(b"\n", 0, size) + 1
    assert bool(found.torn) == (found.size < size)


@pytest.mark.parametrize("torn", [b'{"schema":1,"type":"hel', b"\0\0\0\0", b"\xff\xfe", b"{}x"])
def test_a_torn_last_line_is_cut_off_and_the_session_goes_on(
    writer: JsonlWriter, torn: bytes
) -> None:
    records = session()
    writer.append(records)
    writer.close()
    path = Path(writer.where)
    with path.open("ab") as file:
        file.write(torn)
    again, found = reopen_journal(path)
    assert list(found.records) == records
    assert found.torn or torn.startswith(b"\0")
    again.append([c.Resumed(found.torn, seq=len(records) + 1, utc=WHEN, at=99.0)])
    again.close()
    assert replay_list(read_journal(path).records).resumes == 1


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("rubbish", "line 2 is damaged: it is not a JSON object"),
        ('{"schema":1,"type":"held"}', "line 2 is damaged: its checksum is missing"),
        ('{"schema":99,"type":"held"}', "line 2: it has schema version 99"),
    ],
)
def test_damage_elsewhere_is_named_with_file_and_line(
    writer: JsonlWriter, line: str, text: str
) -> None:
    writer.append(session())
    writer.close()
    path = Path(writer.where)
    lines = path.read_text().splitlines()
    lines[1] = line
    path.write_text("\n".join(lines) + "\n")
    with pytest.raises(JournalDamaged, match=text) as caught:
        read_journal(path)
    assert str(path) in caught.value.message


def test_a_missing_line_is_noticed(writer: JsonlWriter) -> None:
    writer.append(session())
    path = Path(writer.where)
    lines = path.read_text().splitlines()
    path.write_text("\n".join(lines[:2] + lines[3:]) + "\n")
    with pytest.raises(JournalDamaged, match="line 3 is damaged: it does not follow"):
        read_journal(path)


def test_journals_begun_in_one_second_are_listed_by_their_first_records(tmp_path: Path) -> None:
    marks = {"c": 700_000, "b": 100_000, "a": 400_000}
    for mark, micros in marks.items():
        made = create_journal(tmp_path, "x", WHEN, mark)
        first, *others = session()
        made.append([replace(first, utc=WHEN.replace(microsecond=micros)), *others])
        made.close()
    Path(create_journal(tmp_path, "x", WHEN, "0").where).write_bytes(b"[1]\n")
    found = [path.stem[-1] for path in newest_paths(tmp_path.glob("*.jsonl"))]
    assert found == ["c", "a", "b", "0"]


def test_journals_are_listed_newest_first_and_damaged_ones_apart(tmp_path: Path) -> None:
    for minute in (1, 2, 3):
        made = create_journal(tmp_path, "x", WHEN.replace(minute=minute), "a")
        made.append(session())
        made.close()
    (tmp_path / "20310504T130000Z-x-b.jsonl").write_bytes(b"")
    found = list(newest_first(tmp_path))
    good = [info for info in found if isinstance(info, JournalInfo)]
    bad = [error for error in found if isinstance(error, JournalDamaged)]
    assert [info.path.name[9:13] for info in good] == ["1203", "1202", "1201"]
    assert len(bad) == 1
    assert good[0].unfinished
    assert good[0].summary.mismatch_count == 1
    assert info_of(good[0].path).progress == replay_list(session())
