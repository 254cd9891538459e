"""A disk that fills up during a session: it says so, loses nothing, and goes on when it can."""

from __future__ import annotations

import contextlib
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.conftest import RIGHT

FULL = "cannot be written"


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Return a folder on a file system of its own with 256 kB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    command = [str(mount), "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(folder)]
    if not mount or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("needs the right to mount a file system")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


class Session:
    """A session process with a live pipe."""

    def __init__(self, *args: str, limit: str = "") -> None:
        code = f"{limit}; from callout.cli.main import main; main()" if limit else ""
        how = ["-c", code] if limit else ["-m", "callout"]
        self.process = subprocess.Popen(
            [sys.executable, *how, *args],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.lines: list[str] = []

    def __enter__(self) -> Session:
        return self

    def __exit__(self, *error: object) -> None:
        self.process.kill()
        self.end()

    def until(self, *texts: str) -> str:
        """Read until a line holds one of ``texts``; return that line."""
        assert self.process.stdout
        for line in self.process.stdout:
            self.lines.append(line)
            if any(text in line for text in texts):
                return line
        raise AssertionError(f"none of {texts} in:\n{''.join(self.lines)}")

    def say(self, words: str) -> None:
        assert self.process.stdin
        self.process.stdin.write(f"{words}\n")
        self.process.stdin.flush()

    def end(self) -> int:
        assert self.process.stdin
        assert self.process.stdout
        if self.process.stdout.closed:
            return self.process.wait()
        self.process.stdin.close()
        self.lines += self.process.stdout.readlines()
        self.process.stdout.close()
        return self.process.wait()


def fill(folder: Path) -> Path:
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while True:
            file.write(b"x" * 512)
    return filler


def test_a_full_file_system_loses_nothing_and_the_session_goes_on(
    small_disk: Path, checklist: Path
) -> None:
    args = ["run", str(checklist), "--journal-dir", str(small_disk), "--plain", "--silent"]
    with Session(*args) as session:
        _fill_up_and_go_on(session, small_disk)


def _fill_up_and_go_on(session: Session, small_disk: Path) -> None:
    session.until("Beacon?")
    filler = fill(small_disk)
    for _ in range(200):
        session.say("off")
        if FULL in session.until("Beacon?", FULL):
            break
    else:
        raise AssertionError("the disk never filled up")
    (path,) = small_disk.glob("*.jsonl")
    kept = path.read_bytes()
    assert kept.endswith(b"\n")
    mismatches = replay_list(read_journal(path).records).items[0].mismatches
    assert mismatches == sum("Mismatch" in line for line in session.lines)
    for _ in range(3):
        session.say("on")
        session.until(FULL)
    assert path.read_bytes() == kept, "what cannot be kept must not happen"
    filler.unlink()
    for words in RIGHT.values():
        session.say(words)
    session.until("Line-up checklist complete")
    assert session.end() == 0
    assert path.read_bytes().startswith(kept)
    final = replay_list(read_journal(path).records)
    assert final.ending is Ending.COMPLETED
    assert final.items[0].mismatches == mismatches


def test_a_write_cut_short_is_taken_back(checklist: Path, tmp_path: Path) -> None:
    """A limit on file size makes the kernel take only part of a line."""
    pytest.importorskip("resource")
    limit = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (6_000, 6_000))"
    folder = tmp_path / "journals"
    args = ["run", str(checklist), "--journal-dir", str(folder), "--plain", "--silent"]
    with Session(*args, limit=limit) as session:
        _run_into_the_limit(session, folder)


def _run_into_the_limit(session: Session, folder: Path) -> None:
    session.until("Beacon?")
    for _ in range(200):
        session.say("off")
        if FULL in session.until("Beacon?", FULL):
            break
    (path,) = folder.glob("*.jsonl")
    assert path.read_bytes().endswith(b"\n")
    assert session.end() == 0, "with nothing more to read it ends in good order"
    found = read_journal(path)
    assert found.torn == ""
    progress = replay_list(found.records)
    assert progress.ending is None
    assert progress.items[0].mismatches == sum("Mismatch. " in line for line in session.lines)


def test_no_room_for_even_the_first_record_is_one_plain_error(
    small_disk: Path, checklist: Path
) -> None:
    fill(small_disk)
    session = subprocess.run(
        [sys.executable, "-m", "callout", "run", str(checklist), "--plain", "--silent",
         "--journal-dir", str(small_disk / "deep")],
        input="on\n", capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert session.returncode == 2
    assert FULL in session.stderr
    assert "Traceback" not in session.stderr
