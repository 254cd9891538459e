"""A query that takes too much is ended, and nothing of it is left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.app.reports.collecting import open_for_collecting
from callout.app.reports.querying import LONGEST, Question, TextForm, answer_query
from callout.store.engine import CollectionInvalid
from callout.store.partitions import write_months

pytest.importorskip("duckdb")

ENDLESS = "WITH RECURSIVE t(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM t) SELECT count(*) FROM t"
TARGETS = ["c.duckdb", "months"]


@pytest.fixture(scope="module")
def where(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with an empty collection, and its Parquet files."""
    folder = tmp_path_factory.mktemp("querying")
    with open_for_collecting(folder / "c.duckdb") as collection:
        list(write_months(collection, folder / "months"))
    return folder


@pytest.fixture(autouse=True)
def scratch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Where temporary folders are made; none is left after a test."""
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", None)
    yield tmp_path
    assert list(tmp_path.iterdir()) == []
    assert processes_of(tmp_path) == []


def processes_of(folder: Path) -> list[str]:
    """Return the command lines of query processes that keep their temporary files in ``folder``."""
    found = []
    for path in Path("/proc").glob("[0-9]*"):
        try:
            told, command = (path / "environ").read_bytes(), (path / "cmdline").read_bytes()
        except OSError:
            continue
        if b"query_process" in command and f"TMPDIR={folder}".encode() in told:
            found.append(command.decode())
    return found


def answer(target: Path, sql: str, memory: str = "1GB", seconds: float = 60, **more: object) -> str:
    question = Question(str(target), sql, memory=memory, **more)  # type: ignore[arg-type]
    with answer_query(question, seconds) as pieces:
        return "".join(pieces)


@pytest.mark.parametrize("target", TARGETS)
def test_an_answer_comes_in_every_form(where: Path, target: str) -> None:
    sql = "SELECT i, 'a' || i AS name FROM range(3) t(i)"
    assert answer(where / target, sql, form=TextForm.CSV) == "i,name\r\n0,a0\r\n1,a1\r\n2,a2\r\n"
    found = answer(where / target, sql, form=TextForm.JSON, most=1)
    assert found == '{"i": 0, "name": "a0"}\n'
    assert answer(where / target, sql, most=1).split()[-4:] == ["--rows", "0", "shows", "all."]


def test_a_long_answer_comes_whole(where: Path) -> None:
    sql = "SELECT i, repeat('x', 40000) AS long FROM range(60) t(i)"
    lines = answer(where / "c.duckdb", sql, form=TextForm.CSV).split("\r\n")
    assert lines[1:] == [*(f"{i},{'x' * 40_000}" for i in range(60)), ""]


@pytest.mark.parametrize("target", TARGETS)
@pytest.mark.parametrize(
    "sql",
    [
        "SELECT repeat('x', 2000000000) AS s",
        "SELECT length(repeat('x', 2000000000)) AS n",
        "SELECT max(len(l)) FROM (SELECT list(i) AS l FROM range(100000000) t(i))",
        "SELECT list(repeat('abc', 100000)) FROM range(10000)",
    ],
)
def test_a_query_that_eats_memory_is_refused(where: Path, target: str, sql: str) -> None:
    with pytest.raises(CollectionInvalid, match="needs more memory than the limit"):
        answer(where / target, sql, "100MB")


def test_an_endless_query_ends_when_its_time_is_up(where: Path) -> None:
    with pytest.raises(CollectionInvalid, match=r"longer than 0\.5 seconds"):
        answer(where / "c.duckdb", ENDLESS, seconds=0.5)


def test_an_endless_answer_ends_when_its_time_is_up(where: Path) -> None:
    question = Question(str(where / "c.duckdb"), "FROM range(100000000000)", form=TextForm.CSV)
    with (
        pytest.raises(CollectionInvalid, match="longer than"),
        answer_query(question, 2) as pieces,
    ):
        for _ in pieces:
            pass


def test_an_answer_that_nobody_takes_to_its_end_leaves_nothing(where: Path) -> None:
    question = Question(str(where / "c.duckdb"), "FROM range(10000000)", form=TextForm.CSV)
    with answer_query(question) as pieces:
        assert next(pieces).startswith("range")


def test_a_query_that_brings_the_library_down_is_told(
    where: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    dies = (sys.executable, "-c", "import os; os.kill(os.getpid(), 11)")
    monkeypatch.setattr("callout.app.reports.querying._COMMAND", dies)
    with pytest.raises(CollectionInvalid, match=r"crashed the database library \(SIGSEGV\)"):
        answer(where / "c.duckdb", "SELECT 1")


def test_a_query_of_a_million_characters_is_refused(where: Path) -> None:
    with pytest.raises(CollectionInvalid, match="more than 1,000,000"):
        answer(where / "c.duckdb", "SELECT 1" + " " * LONGEST)


def asked_in_terminal(where: Path) -> subprocess.Popen[str]:
    """Start a query that never ends, and wait until its process is at work."""
    words = ["query", "--on", str(where / "c.duckdb"), ENDLESS]
    process = subprocess.Popen(
        [sys.executable, "-m", "callout", *words],
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    until(lambda: bool(processes_of(Path(os.environ["TMPDIR"]))))
    time.sleep(1)
    return process


def until(is_so: object) -> None:
    for _ in range(600):
        if is_so():  # type: ignore[operator]
            return
        time.sleep(0.1)
    raise AssertionError("it did not come to that")


@pytest.mark.skipif(sys.platform != "linux", reason="looks at the processes in /proc")
def test_ctrl_c_ends_a_query_at_once(where: Path) -> None:
    with asked_in_terminal(where) as process:
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=300)
    assert process.returncode == 130
    assert "Traceback" not in errors


@pytest.mark.skipif(sys.platform != "linux", reason="looks at the processes in /proc")
def test_the_query_ends_when_whoever_asked_is_killed(where: Path, scratch: Path) -> None:
    with asked_in_terminal(where) as process:
        process.kill()
    until(lambda: not processes_of(scratch))
    (left,) = scratch.iterdir()
    left.rmdir()  # what could not be removed from inside is an empty folder
