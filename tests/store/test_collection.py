"""Journals into a collection: what is read, passed over, replaced, dropped, and named."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from callout.app.reports import collecting
from callout.app.reports import journal_rows as app
from callout.app.reports.collecting import Collected, collect_folder, open_for_collecting
from callout.core.debrief.columns import TABLES
from callout.store import listing
from callout.store.collection import Collection
from callout.store.engine import CollectionInvalid, open_for_reading
from callout.store.partitions import write_months
from tests.store.journals import facts, practice

duckdb = pytest.importorskip("duckdb")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A few of the journals, to be changed."""
    (tmp_path / "crew").mkdir()
    for path in sorted(practice().glob("*.jsonl"))[:6]:
        shutil.copy(path, tmp_path / "crew")
    return tmp_path / "crew"


def load(folder: Path, memory: str = "200MB") -> tuple[Collected, dict[str, int]]:
    with open_for_collecting(folder.parent / "c.duckdb", memory) as collection:
        found = collect_folder(folder, collection)
        return found, collection.counts()


def asked(folder: Path, sql: str) -> list[tuple[object, ...]]:
    with open_for_reading(folder.parent / "c.duckdb") as connection:
        return list(connection.execute(sql).fetchall())


def test_every_row_is_there(tmp_path: Path) -> None:
    with open_for_collecting(tmp_path / "c.duckdb") as collection:
        found = collect_folder(practice(), collection)
        counts = collection.counts()
    assert (found.new, found.problems) == (36, [])
    assert counts["sessions"] == len(facts().sessions) == 36
    assert counts["items"] == len(facts().items)
    assert counts["replies"] == sum(len(i.heard) for i in facts().items)
    with open_for_reading(tmp_path / "c.duckdb") as connection:
        for session in facts().sessions:
            chosen = f"FROM sessions WHERE session_id = '{session.session_id}'"
            row = connection.execute(
                f"SELECT person, items, mismatches, minutes {chosen}"
            ).fetchone()
            assert row == (session.person, session.items, session.mismatches, session.minutes)


def test_what_has_not_changed_is_not_read_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    real = app.read_journal
    monkeypatch.setattr(app, "read_journal", lambda path: read.append(path.name) or real(path))
    first, counts = load(folder)
    assert (first.new, len(read)) == (6, 6)
    again, same = load(folder)
    assert (again.unchanged, again.new, again.replaced, len(read)) == (6, 0, 0, 6)
    assert same == counts


def test_a_journal_that_has_grown_replaces_its_rows(folder: Path) -> None:
    path = sorted(folder.glob("*.jsonl"))[0]
    whole = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(whole[: len(whole) // 2]))
    _, before = load(folder)
    ended = "SELECT count(ending) FROM sessions"
    ((count,),) = asked(folder, ended)
    assert isinstance(count, int)
    path.write_bytes(b"".join(whole))
    found, after = load(folder)
    assert (found.replaced, found.unchanged) == (1, 5)
    assert after["sessions"] == before["sessions"] == 6
    assert after["replies"] > before["replies"]
    assert asked(folder, ended) == [(count + 1,)]


def test_a_journal_that_is_gone_takes_its_rows_with_it(folder: Path) -> None:
    load(folder)
    path = sorted(folder.glob("*.jsonl"))[0]
    path.unlink()
    found, counts = load(folder)
    assert (found.gone, counts["sessions"]) == (1, 5)
    for table in ("sessions", "items", "replies"):
        sql = f"SELECT count(*) FROM {table} WHERE session_id = '{path.stem}'"
        assert asked(folder, sql) == [(0,)]


def test_damaged_journals_are_named_every_time_and_the_others_count(folder: Path) -> None:
    paths = sorted(folder.glob("*.jsonl"))
    paths[0].write_bytes(b"\x00\xff{}\n{}\n")
    lines = paths[1].read_bytes().splitlines(keepends=True)
    paths[1].write_bytes(b"".join(lines[:-1]) + lines[-1][:20])
    paths[2].write_bytes(b"")
    paths[3].write_bytes(lines[0].replace(b'"v":1', b'"v":99') + b"".join(lines[1:]))
    for _ in range(2):
        found, counts = load(folder)
        assert len(found.problems) == 4
        for path in paths[:4]:
            assert any(str(path) in problem for problem in found.problems)
        assert counts["sessions"] == 3, "the torn one counts up to its tear"
    assert found.unchanged == 6


def test_a_copy_counts_once_and_stands_in_when_the_first_is_gone(folder: Path) -> None:
    first = sorted(folder.glob("*.jsonl"))[0]
    shutil.copy(first, folder / "zz-copy.jsonl")
    found, counts = load(folder)
    assert counts["sessions"] == 6
    assert [p for p in found.problems if "counts once" in p and "zz-copy" in p]
    first.unlink()
    found, counts = load(folder)
    assert (counts["sessions"], found.problems) == (6, [])


def test_a_journal_that_another_folder_gave_is_replaced_not_doubled(folder: Path) -> None:
    """A folder and the one of its flights hold the same paths."""
    (folder / "flights").mkdir()
    inside = shutil.copy(sorted(practice().glob("*.jsonl"))[7], folder / "flights")
    for _ in range(2):
        load(folder)
        with open_for_collecting(folder.parent / "c.duckdb") as collection:
            collect_folder(folder / "flights", collection)
        paths = [str(row[0]) for row in asked(folder, "SELECT path FROM journals ORDER BY 1")]
        assert paths.count(str(inside)) == 1
        assert len(paths) == len(set(paths)) == 7


def test_months_change_with_what_came_in_and_with_what_went(folder: Path) -> None:
    load(folder)
    months = "SELECT month FROM months ORDER BY 1"
    there = "SELECT DISTINCT month FROM sessions ORDER BY 1"
    assert asked(folder, months) == asked(folder, there)
    before = dict(asked(folder, "FROM months"))
    first = sorted(folder.glob("*.jsonl"))[0]
    gone = first.name[:4] + "-" + first.name[4:6]
    first.unlink()
    load(folder)
    after = dict(asked(folder, "FROM months"))
    assert {month for month, version in after.items() if version != before[month]} == {gone}


def test_a_folder_is_taken_in_slices(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listing, "SLICE", 2)
    monkeypatch.setattr(collecting, "BATCH", 2)
    first, counts = load(folder)
    assert (first.new, counts["sessions"]) == (6, 6)
    paths = sorted(folder.glob("*.jsonl"))
    for path in paths[:5]:
        path.unlink()
    found, counts = load(folder)
    assert (found.gone, found.unchanged, counts["sessions"]) == (5, 1, 1)


def test_a_number_out_of_bounds_keeps_only_its_own_journal_out(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No record can hold one today; a later column may."""
    bad = sorted(folder.glob("*.jsonl"))[2].stem
    real = app.quick_values

    def spoilt(*told: Any, **more: Any) -> Any:
        rows = real(*told, **more)
        if rows and rows["sessions"][0][0] == bad:
            rows["items"][0] = (rows["items"][0][0], 2**40, *rows["items"][0][2:])
        return rows

    monkeypatch.setattr(app, "quick_values", spoilt)
    found, counts = load(folder)
    assert counts["sessions"] == 5
    [problem] = found.problems
    assert bad in problem
    assert "out of all bounds" in problem


def test_hostile_texts_are_kept_as_texts(folder: Path) -> None:
    path = sorted(folder.glob("*.jsonl"))[0]
    crew = b'"crew":"=HYPERLINK(1)\\u001b[31m\\u0000\\ud800\'; DROP TABLE items; --"'
    text = path.read_bytes()
    name = next(s.person for s in facts().sessions if s.session_id == path.stem).encode()
    assert b'"crew":"' + name + b'"' in text
    path.write_bytes(text.replace(b'"crew":"' + name + b'"', crew))
    found, counts = load(folder)
    assert (found.problems, counts["sessions"]) == ([], 6)
    sql = f"SELECT person FROM sessions WHERE session_id = '{path.stem}'"
    [(person,)] = asked(folder, sql)
    assert person == "=HYPERLINK(1)\x1b[31m\x00\\ud800'; DROP TABLE items; --"


def test_who_is_not_named_goes_by_the_folder(folder: Path) -> None:
    path = sorted(folder.glob("*.jsonl"))[0]
    name = next(s.person for s in facts().sessions if s.session_id == path.stem)
    path.write_text(path.read_text().replace(f'"crew":"{name}"', '"crew":""'))
    load(folder)
    sql = f"SELECT DISTINCT person FROM items WHERE session_id = '{path.stem}'"
    assert asked(folder, sql) == [("crew",)]


def test_only_the_owner_can_read_it(folder: Path) -> None:
    if os.name != "posix":
        pytest.skip("permissions as of POSIX")
    load(folder)
    assert (folder.parent / "c.duckdb").stat().st_mode & 0o077 == 0


def test_parquet_files_of_changed_months_alone_are_written_anew(folder: Path) -> None:
    out = folder.parent / "months"

    def written() -> list[str]:
        with open_for_collecting(folder.parent / "c.duckdb") as collection:
            collect_folder(folder, collection)
            return sorted({path.stem for path in write_months(collection, out)})

    months = written()
    assert len(months) >= 2
    assert written() == []
    path = sorted(folder.glob("*.jsonl"))[0]
    path.unlink()
    assert written() in ([months[0]], []), "the first month changed, or is gone"
    kept = {p.stem for p in (out / "sessions").glob("*/*.parquet")}
    with open_for_reading(out) as parquet, open_for_reading(folder.parent / "c.duckdb") as database:
        for table in TABLES:
            sql = f"SELECT * FROM {table} ORDER BY ALL"
            assert parquet.execute(sql).fetchall() == database.execute(sql).fetchall()
        assert {m for (m,) in database.execute("SELECT month FROM sessions").fetchall()} == kept


def test_parquet_files_of_another_collection_are_not_overwritten(folder: Path) -> None:
    with open_for_collecting(folder.parent / "c.duckdb") as collection:
        collect_folder(folder, collection)
        list(write_months(collection, folder.parent / "months"))
    with (
        open_for_collecting(folder.parent / "d.duckdb") as other,
        pytest.raises(CollectionInvalid, match="another collection"),
    ):
        list(write_months(other, folder.parent / "months"))


def test_files_that_are_no_collection(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("x" * 5000)
    with pytest.raises(CollectionInvalid, match="not a readable collection"):
        Collection(tmp_path / "mine.txt")
    with (
        pytest.raises(CollectionInvalid, match="is not a collection"),
        open_for_collecting(tmp_path / "mine.txt", anew=True),
    ):
        pass
    assert (tmp_path / "mine.txt").read_text() == "x" * 5000
    duckdb.connect(str(tmp_path / "other.duckdb")).close()
    with pytest.raises(CollectionInvalid, match="made by another version"):
        Collection(tmp_path / "other.duckdb")
    with pytest.raises(CollectionInvalid, match="not an amount of memory"):
        Collection(tmp_path / "new.duckdb", "lots")
    assert not (tmp_path / "new.duckdb").exists()


def test_anew(folder: Path) -> None:
    load(folder)
    with open_for_collecting(folder.parent / "c.duckdb", anew=True) as collection:
        assert collection.counts()["sessions"] == 0
        assert collect_folder(folder, collection).new == 6
