"""Journals read by several processes, by schools, and by a cluster that only key holders join."""

from __future__ import annotations

import multiprocessing
import os
import pickle
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.collecting import (
    Collected,
    collect_folder,
    open_for_collecting,
    staged_rows,
)
from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.debrief.columns import TABLES
from callout.errors import CalloutError
from callout.store.cluster import partial_results
from callout.store.engine import connect_database, open_for_reading
from callout.store.partitions import school_folder, write_months
from callout.store.processes import local_processes
from callout.store.workers import KEY, Elsewhere, make_keys, several_workers

pytest.importorskip("duckdb")


def here(work: Callable[..., Any], shares: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """Shares worked on here, the last first, and sent as those of other processes are."""
    assert work is staged_rows
    given = list(shares)
    made = [pickle.dumps(work(*words)) for words in reversed(given)]
    yield from (pickle.loads(one) for one in reversed(made))


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("year") / "pilots"
    make_year(folder, seed=4, sessions=18, names=("Ada", "Ben"))
    return folder


@pytest.fixture
def pilots(year: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A year's journals, the test's own."""
    monkeypatch.setattr("callout.app.reports.collecting.BATCH", 5)
    return Path(shutil.copytree(year, tmp_path / "pilots"))


def rows(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    with closing(connect_database(str(path), "200MB", read_only=True)) as base:
        tables = (*TABLES, "journals")
        return {t: sorted(base.execute(f"FROM {t}").fetchall(), key=repr) for t in tables}


def collect(pilots: Path, into: Path, **how: Any) -> Collected:
    with open_for_collecting(into) as collection:
        return collect_folder(pilots, collection, **how)


def test_several_readers_give_the_rows_of_one(pilots: Path, tmp_path: Path) -> None:
    copied = sorted(pilots.glob("*.jsonl"))[0]
    (pilots / f"zz-{copied.name}").write_bytes(copied.read_bytes())
    (pilots / "broken.jsonl").write_bytes(b"{}\n")
    one = collect(pilots, tmp_path / "one.duckdb")
    several = collect(pilots, tmp_path / "several.duckdb", share=here)
    assert (one.new, len(one.problems)) == (several.new, len(several.problems)) == (20, 2)
    alone, together = rows(tmp_path / "one.duckdb"), rows(tmp_path / "several.duckdb")
    assert {t: len(r) for t, r in alone.items()} == {t: len(r) for t, r in together.items()}
    assert alone["items"] == together["items"]
    assert alone["replies"] == together["replies"]
    again = collect(pilots, tmp_path / "several.duckdb", share=here)
    assert (again.new, again.replaced, again.unchanged) == (0, 0, 20)
    copied.write_bytes(copied.read_bytes()[:-300])
    assert collect(pilots, tmp_path / "several.duckdb", share=here).replaced >= 1


def elsewhere(work: Callable[..., Any], shares: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """Shares worked on by somebody who does not find the journals."""
    for folder, *words in shares:
        away = Path(folder).rename(f"{folder}-away")
        result = work(folder, *words)
        away.rename(folder)
        yield result


def test_what_workers_cannot_read_is_read_here(pilots: Path, tmp_path: Path) -> None:
    collect(pilots, tmp_path / "one.duckdb")
    found = collect(pilots, tmp_path / "far.duckdb", share=elsewhere)
    assert (found.new, found.read_here, found.problems) == (18, 18, [])
    assert rows(tmp_path / "far.duckdb") == rows(tmp_path / "one.duckdb")


def test_a_journal_that_could_not_be_read_is_read_when_it_can(pilots: Path, tmp_path: Path) -> None:
    first = sorted(pilots.glob("*.jsonl"))[0]
    told = first.stat()
    work = [(str(first), (told.st_size, told.st_mtime_ns))]
    with open_for_collecting(tmp_path / "c.duckdb") as collection:
        [staged] = elsewhere(staged_rows, [(str(pilots), "", work)])
        collection.absorb(staged)
        [problem] = collection.problems(str(pilots))
        assert "cannot be read: No such file" in problem
        found = collect_folder(pilots, collection)
    assert (found.new, found.unchanged, found.problems) == (18, 0, [])


def _as_nobody(give: Any, work: Callable[..., Any], words: tuple[Any, ...]) -> None:
    os.setuid(65534)
    try:
        give.send(work(*words))
    except Exception as error:
        give.send(error)


def somebody_else(work: Callable[..., Any], shares: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """Shares worked on by another user of this machine."""
    fork = multiprocessing.get_context("fork")
    for words in shares:
        take, give = fork.Pipe(duplex=False)
        child = fork.Process(target=_as_nobody, args=(give, work, words))
        child.start()
        result = take.recv()
        child.join()
        if isinstance(result, Exception):
            raise result
        yield result


@pytest.mark.skipif(not hasattr(os, "fork") or os.geteuid() != 0, reason="only root can")
def test_a_worker_of_another_user_without_rights(pilots: Path, tmp_path: Path) -> None:
    tmp_path.chmod(0o700)
    collect(pilots, tmp_path / "one.duckdb")
    found = collect(pilots, tmp_path / "far.duckdb", share=somebody_else)
    assert (found.new, found.read_here, found.problems) == (18, 18, [])
    assert rows(tmp_path / "far.duckdb") == rows(tmp_path / "one.duckdb")
    with open_for_collecting(tmp_path / "one.duckdb") as collection:
        written = [p for p in write_months(collection, tmp_path / "parts") if "items" in p.parts]
    with pytest.raises(CalloutError, match=r"^A worker cannot read .*: Permission denied\.$"):
        next(somebody_else(partial_results, [([str(written[0])], "200MB")]))


def test_processes_of_this_machine_give_the_rows_of_one_whatever_the_order(
    pilots: Path, tmp_path: Path
) -> None:
    (pilots / "broken.jsonl").write_bytes(b"{}\n")
    first = sorted(pilots.glob("2*.jsonl"))[0]
    (pilots / "aa-copy.jsonl").write_bytes(first.read_bytes())
    collect(pilots, tmp_path / "one.duckdb")
    with local_processes(2) as share:
        collect(pilots, tmp_path / "two.duckdb", share=share)
    other = tmp_path / "elsewhere"
    other.mkdir()
    for path in sorted(pilots.iterdir(), reverse=True):
        path.rename(other / path.name)  # the order in which a folder tells its names
    other.rename(pilots.with_name("again"))
    pilots.rmdir()
    pilots.with_name("again").rename(pilots)
    collect(pilots, tmp_path / "three.duckdb")
    one = rows(tmp_path / "one.duckdb")
    assert one == rows(tmp_path / "two.duckdb") == rows(tmp_path / "three.duckdb")
    assert len(one["sessions"]) == 18


def test_results_come_in_the_order_of_the_shares_and_few_are_under_way() -> None:
    begun: list[int] = []

    def shares() -> Iterator[tuple[int, ...]]:
        for number in range(20):
            begun.append(number)
            yield (number,)

    with local_processes(2) as share:
        for done, result in enumerate(share(abs, shares())):
            assert result == done
            assert len(begun) - done <= 6


def test_a_process_that_dies_is_one_sentence() -> None:
    with (
        pytest.raises(CalloutError, match=r"^A worker failed: "),
        local_processes(1) as share,
    ):
        list(share(os._exit, [(3,)]))


def test_each_school_has_its_own_partitions(pilots: Path, tmp_path: Path) -> None:
    make_year(tmp_path / "others", seed=5, sessions=6, names=("Cara",))
    with open_for_collecting(tmp_path / "c.duckdb") as collection:
        collect_folder(pilots, collection, school="North")
        collect_folder(tmp_path / "others", collection, school="../South")
        written = list(write_months(collection, tmp_path / "parts"))
        assert list(write_months(collection, tmp_path / "parts")) == [], "nothing has changed"
    places = {path.parent.name for path in written}
    assert places == {"school=North", school_folder("../South")}
    assert all(path.is_relative_to(tmp_path / "parts") for path in written)
    with open_for_reading(tmp_path / "parts") as connection:
        asked = "SELECT school, count(DISTINCT session_id) FROM items GROUP BY 1 ORDER BY 1"
        assert connection.execute(asked).fetchall() == [("../South", 6), ("North", 18)]


def callout(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def test_a_dead_scheduler_is_one_sentence(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    pytest.importorskip("cryptography")
    make_keys(tmp_path / "keys")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"tls://127.0.0.1:{free.getsockname()[1]}"
    with (
        pytest.raises(CalloutError, match=f"^No scheduler answers at {address}.$"),
        several_workers(1, Elsewhere(address, tmp_path / "keys")),
    ):
        pass
    with (
        pytest.raises(CalloutError, match="answers only those who have its keys"),
        several_workers(1, Elsewhere(address)),
    ):
        pass
    with pytest.raises(CalloutError, match="already exists"):
        make_keys(tmp_path / "keys")
    assert all(path.stat().st_mode & 0o077 == 0 for path in (tmp_path / "keys").iterdir())
    assert (tmp_path / "keys").stat().st_mode & 0o077 == 0
    (tmp_path / "keys" / KEY).unlink()
    (tmp_path / "keys" / KEY).mkdir()
    with (
        pytest.raises(CalloutError, match=r"callout-cluster.key cannot be read: Is a directory\.$"),
        several_workers(1, Elsewhere(address, tmp_path / "keys")),
    ):
        pass


@pytest.fixture
def started() -> Iterator[Callable[..., str]]:
    """Starts the command and gives the first line it prints; ends all of them afterwards."""
    running: list[subprocess.Popen[str]] = []

    def start(*words: str | Path) -> str:
        made = subprocess.Popen(
            [sys.executable, "-m", "callout", *map(str, words)],
            stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        running.append(made)
        assert made.stdout is not None
        return made.stdout.readline()

    yield start
    for made in reversed(running):
        made.send_signal(signal.SIGINT)
        made.wait(timeout=180)
        if made.stdout:
            made.stdout.close()


def test_two_processes_join_with_the_keys_and_nobody_without(
    pilots: Path, tmp_path: Path, started: Callable[..., str]
) -> None:
    pytest.importorskip("distributed")
    pytest.importorskip("cryptography")
    keys = tmp_path / "keys"
    assert callout("cluster", "keys", keys).exit_code == 0
    told = started("cluster", "scheduler", "--keys", keys, "--port", 0)
    address = told.split()[2].rstrip(".")
    assert address.startswith("tls://127.0.0.1:")
    assert "Working for" in started("cluster", "worker", address, "--keys", keys)
    make_keys(tmp_path / "others")
    with (
        pytest.raises(CalloutError, match="No scheduler answers"),
        several_workers(1, Elsewhere(address, tmp_path / "others")),
    ):
        pass
    with several_workers(1, Elsewhere(address, keys)) as share:
        collect(pilots, tmp_path / "far.duckdb", share=share)
    collect(pilots, tmp_path / "near.duckdb")
    assert rows(tmp_path / "far.duckdb") == rows(tmp_path / "near.duckdb")
