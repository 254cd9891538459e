"""A journal shows every change of what it holds, and what is whole in it can be kept."""

from __future__ import annotations

import hashlib
import json
import os
import random
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.cli.main import app
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation import records as c
from callout.errors import CalloutError, JournalDamaged
from callout.journal.jsonl_reader import MAX_LINE, read_journal
from callout.journal.jsonl_writer import create_journal, line_of, reopen_journal
from callout.journal.repair import repair_journal
from callout.ports.journal import JournalInUse
from tests.core.session_kit import Desk

WHEN = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


def unfinished() -> list[c.JournalRecord]:
    return Desk().start().say("off").say("on").say("skip, inoperative").say("hold").records


def finished() -> list[c.JournalRecord]:
    desk = Desk().start().say("off").say("on").say("stop").say("yes")
    assert isinstance(desk.records[-1], r.Ended)
    return desk.records


def kept(folder: Path, records: list[c.JournalRecord]) -> Path:
    made = create_journal(folder, "x", WHEN, "abc123")
    for record in records:
        made.append([record])
    made.close()
    return Path(made.where)


def test_each_line_ends_with_the_digest_of_itself_and_of_the_line_before(tmp_path: Path) -> None:
    """SHA-256 (FIPS 180-4) over the line up to its sum, first 16 hex digits."""
    before = "0" * 16
    for line in kept(tmp_path, unfinished()).read_text().splitlines():
        fields = json.loads(line)
        start = line[: line.rindex(',"sum":')]
        assert fields["sum"] == hashlib.sha256(start.encode()).hexdigest()[:16]
        assert fields["prev"] == before
        before = fields["sum"]


def test_every_flipped_bit_shows(tmp_path: Path) -> None:
    path = kept(tmp_path, unfinished())
    whole = path.read_bytes()
    chance = random.Random(19)
    places = chance.sample(range(len(whole) * 8), 500)
    last = range((len(whole) - 1) * 8, len(whole) * 8)  # also where the last line ends
    for place in [*places, *last]:
        data = bytearray(whole)
        data[place // 8] ^= 1 << place % 8
        path.write_bytes(data)
        with pytest.raises(JournalDamaged):
            read_journal(path)


Change = Callable[[list[bytes]], list[bytes]]


@pytest.mark.parametrize(
    "change",
    [
        lambda lines: lines[:2] + lines[3:],
        lambda lines: [*lines[:2], lines[3], lines[2], *lines[4:]],
        lambda lines: [*lines[:3], lines[2], *lines[3:]],
        lambda lines: [*lines, b"{}\n"],
        lambda lines: [*lines, lines[-1]],
        lambda lines: [*lines, b"\xff\xfe\n"],
        lambda lines: [*lines[:2], b"\n", *lines[2:]],
    ],
    ids=["removed", "reordered", "copied", "appended", "repeated", "rubbish", "empty"],
)
def test_lines_removed_reordered_copied_or_appended_show(tmp_path: Path, change: Change) -> None:
    path = kept(tmp_path, finished())
    path.write_bytes(b"".join(change(path.read_bytes().splitlines(keepends=True))))
    with pytest.raises(JournalDamaged, match=r"line \d+ is damaged") as caught:
        read_journal(path)
    assert "callout journal --repair" in caught.value.hint


def test_a_record_moved_to_another_journal_shows(tmp_path: Path) -> None:
    one = kept(tmp_path, unfinished())
    other = tmp_path / "other.jsonl"
    desk = Desk().start().say("on").say("off")
    made = create_journal(tmp_path, "y", WHEN, "def456")
    made.append(desk.records)
    made.close()
    lines = one.read_bytes().splitlines(keepends=True)
    lines[3] = Path(made.where).read_bytes().splitlines(keepends=True)[3]
    other.write_bytes(b"".join(lines))
    with pytest.raises(JournalDamaged, match=r"line [45] is damaged: it does not follow"):
        read_journal(other)


def test_a_journal_of_an_earlier_version_is_read_and_sealed_from_there_on(tmp_path: Path) -> None:
    records = unfinished()
    path = tmp_path / "old.jsonl"
    path.write_bytes(b"".join(line_of(record) for record in records))
    assert list(read_journal(path).records) == records
    again, found = reopen_journal(path)
    again.append([c.Resumed(found.torn, seq=len(records) + 1, utc=WHEN, at=99.0)])
    again.close()
    assert replay_list(read_journal(path).records).resumes == 1
    changed = path.read_bytes().replace(b"inoperative", b"inoperable!", 1)
    path.write_bytes(changed)
    with pytest.raises(JournalDamaged, match="does not follow"):
        read_journal(path)


@pytest.mark.parametrize("missing", [1, 2, 4])
def test_a_damaged_record_of_an_unfinished_list_is_asked_again_after_a_repair(
    tmp_path: Path, missing: int
) -> None:
    records = unfinished()
    path = kept(tmp_path, records)
    damaged = _spoilt(path, missing)
    done = repair_journal(path)
    assert done.original
    assert done.original.read_bytes() == damaged
    assert [number for number, _ in done.bad] == [missing + 1]
    assert (done.kept, done.after) == (missing, len(records) - missing - 1)
    assert list(read_journal(path).records) == records[:missing]
    writer, found = reopen_journal(path)
    writer.append([c.Resumed(found.torn, seq=missing + 1, utc=WHEN, at=99.0)])
    writer.close()
    assert replay_list(read_journal(path).records).resumes == 1


def test_a_finished_list_keeps_all_other_records_and_says_which_are_lost(tmp_path: Path) -> None:
    records = finished()
    path = kept(tmp_path, records)
    _spoilt(path, 4)
    told = CliRunner().invoke(app, ["journal", "--repair", str(path)])
    assert told.exit_code == 0, told.output
    assert "Line 5 is damaged" in told.output
    assert "Lost: record 5." in told.output
    found = read_journal(path)
    assert list(found.records) == records[:4] + records[5:]
    assert [(loss.first, loss.last) for loss in found.lost] == [(5, 5)]
    assert "1 record could not be saved" in CliRunner().invoke(app, ["journal", str(path)]).output
    debrief = CliRunner().invoke(app, ["debrief", str(path), "--plain"])
    assert debrief.exit_code == 0
    assert "could not be saved when it was repaired" in debrief.output


def test_a_record_put_in_is_told_from_those_that_were_written(tmp_path: Path) -> None:
    """It bears a right checksum of its own; its neighbours do not know it."""
    records = finished()
    path = kept(tmp_path, records)
    lines = path.read_bytes().splitlines(keepends=True)
    start = lines[4][: lines[4].rindex(b',"sum":')].replace(b'"utc"', b'"foo":1,"utc"')
    start = start[: start.rindex(b',"prev":')] + b',"prev":"' + b"1" * 16 + b'"'
    own = hashlib.sha256(start).hexdigest()[:16].encode()
    lines[4] = start + b',"sum":"' + own + b'"}\n'
    path.write_bytes(b"".join(lines))
    done = repair_journal(path)
    assert done.bad == ((5, "no other record agrees with it"),)
    assert list(read_journal(path).records) == records[:4] + records[5:]


def test_lines_in_the_wrong_order_are_put_right_and_doubles_dropped(tmp_path: Path) -> None:
    records = finished()
    path = kept(tmp_path, records)
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], lines[3], lines[2], lines[3], *lines[4:]]))
    done = repair_journal(path)
    assert [why for _, why in done.bad] == ["it is in the wrong place", "it appears twice"]
    assert list(read_journal(path).records) == records
    assert not read_journal(path).lost


def test_a_whole_journal_is_left_alone(tmp_path: Path) -> None:
    path = kept(tmp_path, finished())
    before = path.read_bytes()
    assert repair_journal(path).original is None
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]


def test_every_damage_ends_in_a_whole_journal_or_one_sentence(tmp_path: Path) -> None:
    records = finished()
    chance = random.Random(7)
    whole = kept(tmp_path, records).read_bytes()
    path = tmp_path / "damaged.jsonl"
    repaired = 0
    for _ in range(150):
        path.write_bytes(_damaged(chance, whole))
        try:
            repair_journal(path)
        except CalloutError as error:
            assert "Nothing was changed" in error.hint  # noqa: PT017
            continue
        found = read_journal(path)
        repaired += 1
        assert all(record in records for record in found.records)
        assert all(
            i.outcome is not ItemOutcome.ANSWERED or i.reply
            for i in replay_list(found.records).items
        )
    assert repaired > 60  # the first record is the longest by far


def test_a_repaired_journal_can_be_repaired_again(tmp_path: Path) -> None:
    records = finished()
    path = kept(tmp_path, records)
    _spoilt(path, 4)
    repair_journal(path)
    _spoilt(path, 7)
    repair_journal(path)
    found = read_journal(path)
    assert sum(loss.count for loss in found.lost) == 2
    assert replay_list(found.records).ending is Ending.STOPPED
    assert len(list(tmp_path.glob("*.damaged-*"))) == 2


def test_a_journal_in_use_or_without_its_first_record_is_not_repaired(tmp_path: Path) -> None:
    path = kept(tmp_path, unfinished())
    writer, _ = reopen_journal(path)
    with pytest.raises(JournalInUse):
        repair_journal(path)
    writer.close()
    _spoilt(path, 0)
    before = path.read_bytes()
    with pytest.raises(CalloutError, match="first record"):
        repair_journal(path)
    assert path.read_bytes() == before


def test_what_is_no_regular_file_is_refused_at_once(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.jsonl"
    os.mkfifo(pipe)
    with pytest.raises(JournalDamaged, match="no regular file"):
        read_journal(pipe)


def test_a_line_without_end_is_read_no_further_than_its_limit(tmp_path: Path) -> None:
    path = tmp_path / "endless.jsonl"
    with path.open("wb") as file:
        file.truncate(MAX_LINE * 40)  # takes no room on the disk
    with pytest.raises(JournalDamaged, match="longer than 16,000,000 bytes"):
        read_journal(path)


def _spoilt(path: Path, index: int) -> bytes:
    """Flip one bit in the middle of a line; return the file."""
    lines = path.read_bytes().splitlines(keepends=True)
    line = bytearray(lines[index])
    line[len(line) // 3] ^= 1
    lines[index] = bytes(line)
    path.write_bytes(b"".join(lines))
    return path.read_bytes()


def _damaged(chance: random.Random, whole: bytes) -> bytes:
    data = bytearray(whole)
    for _ in range(chance.choice((1, 1, 2, 5))):
        match chance.randrange(4):
            case 0:
                data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
            case 1:
                at = chance.randrange(len(data))
                del data[at : at + chance.randrange(400)]
            case 2:
                at = chance.randrange(len(data))
                data[at:at] = data[chance.randrange(len(data)) :][: chance.randrange(600)]
            case 3:
                lines = bytes(data).splitlines(keepends=True)
                chance.shuffle(lines)
                data = bytearray(b"".join(lines))
    return bytes(data)
