"""Plain SQL can read the tables and nothing else, and what it gives executes nowhere."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.cli.main import app
from callout.cli.query import PARTS
from callout.core.debrief.columns import TABLES
from callout.errors import CalloutError
from callout.store.asking import REPORT, ask_collection
from callout.store.engine import CollectionInvalid, open_for_reading
from callout.store.partitions import write_months
from callout.terminal.tables import csv_lines, draw_table, json_rows
from tests.store.journals import practice

pytest.importorskip("duckdb")


@pytest.fixture(scope="module")
def where(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a collection, its Parquet files, and a file that is no query's business."""
    folder = tmp_path_factory.mktemp("asking")
    with open_for_collecting(folder / "c.duckdb") as collection:
        collect_folder(practice(), collection)
        list(write_months(collection, folder / "months"))
    (folder / "secret.txt").write_text("secret")
    return folder


def callout(*words: str | Path, typed: str | None = None) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words], input=typed)


@pytest.mark.parametrize("target", ["c.duckdb", "months"])
@pytest.mark.parametrize(
    "sql",
    [
        "SELECT * FROM read_text('{where}/secret.txt')",
        "SELECT * FROM '{where}/secret.txt'",
        "SELECT * FROM read_csv('/etc/passwd')",
        "SELECT * FROM glob('/etc/*')",
        "SELECT * FROM read_parquet('https://localhost/x.parquet')",
        "COPY (SELECT 1) TO '{where}/stolen.csv'",
        "COPY (SELECT 1) TO '{where}/months/stolen.csv'",
        "EXPORT DATABASE '{where}/stolen'",
        "ATTACH '{where}/stolen.db'",
        "INSTALL httpfs",
        "LOAD httpfs",
        "SET enable_external_access = true",
        "SET memory_limit = '100GB'",
        "RESET lock_configuration",
        "PRAGMA enable_profiling",
        "CALL pragma_version()",
        "DROP TABLE items",
        "DELETE FROM items",
        "UPDATE sessions SET person = ''",
        "CREATE TABLE mine AS SELECT 1",
        "CREATE TEMP TABLE mine AS SELECT 1",
        "SELECT 1; DROP TABLE items",
        "EXPLAIN ANALYZE COPY (SELECT 'evil' AS a) TO '{where}/months/items/2026.parquet'",
        "EXPLAIN ANALYZE CREATE TEMP TABLE mine AS SELECT 1",
        "EXPLAIN SELECT 1",
        "SELECT * FROM secret",
        "",
    ],
)
def test_what_sql_cannot_do(where: Path, target: str, sql: str) -> None:
    secret = "a variable of the caller"
    before = sorted(path for path in where.rglob("*") if path.is_file())
    with open_for_reading(where / target) as connection:
        with pytest.raises(CollectionInvalid) as caught:
            list(ask_collection(connection, sql.format(where=where)).rows)
        assert secret not in str(caught.value)
        assert list(ask_collection(connection, "SELECT count(*) > 0 FROM items").rows) == [(True,)]
    assert sorted(path for path in where.rglob("*") if path.is_file()) == before


@pytest.mark.parametrize("target", ["c.duckdb", "months"])
def test_what_sql_can_do(where: Path, target: str) -> None:
    with open_for_reading(where / target) as connection:
        for sql in ("DESCRIBE items", "SUMMARIZE sessions", "SHOW TABLES", "VALUES (1)"):
            assert list(ask_collection(connection, sql).rows)
        for table, columns in TABLES.items():
            answer = ask_collection(connection, f"FROM {table}")
            assert answer.columns == tuple(column.name for column in columns)


def test_a_query_that_wants_too_much_memory_says_so(where: Path) -> None:
    greedy = "SELECT max(len(l)) FROM (SELECT list(i) AS l FROM range(30000000) t(i))"
    with (
        open_for_reading(where / "c.duckdb", "50MB", threads=1) as connection,
        pytest.raises(CollectionInvalid, match="more memory"),
    ):
        list(ask_collection(connection, greedy).rows)


def test_what_does_not_fit_in_memory_goes_to_a_folder_that_is_gone_afterwards(where: Path) -> None:
    sql = "SELECT count(*) FROM (SELECT i, hash(i) h FROM range(4000000) t(i) ORDER BY h)"
    with open_for_reading(where / "c.duckdb", "50MB", threads=1) as connection:
        spill = Path(connection.execute("SELECT current_setting('temp_directory')").fetchone()[0])  # type: ignore[index]
        assert list(ask_collection(connection, sql).rows) == [(4_000_000,)]
    assert not spill.exists()


HOSTILE = ["=1+1", "+cmd|' /C x'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\uff1d1"]


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        ("SELECT to_centuries(32768)", "too large"),
        ("SELECT arg_max(INTERVAL (-99999999) YEAR, TIMESTAMP '2031-01-01')", "too large"),
        ("SELECT regexp_matches('[1]', '%Y-%m', '\u202e[2J') FROM items", "cannot be read"),
    ],
)
def test_what_the_library_cannot_hand_over_is_one_sentence(
    where: Path, sql: str, said: str
) -> None:
    """Found by damaged statements: the library answered with errors that are not its own."""
    with (
        open_for_reading(where / "c.duckdb") as connection,
        pytest.raises(CollectionInvalid, match=said),
    ):
        list(ask_collection(connection, sql).rows)


@pytest.mark.parametrize("text", HOSTILE)
def test_csv_holds_no_formula(text: str) -> None:
    [[name], [cell]] = csv.reader(io.StringIO("".join(csv_lines([text], [(text,)]))))
    assert name.startswith("'")
    assert cell.startswith("'")


def test_csv_keeps_numbers_and_quotes_the_rest() -> None:
    row = (-1.5, -2, None, True, 'say "on"', "two\nlines", "a,b")
    [_, cells] = csv.reader(io.StringIO("".join(csv_lines([""] * 7, [row]))))
    assert cells == ["-1.5", "-2", "", "True", 'say "on"', "two\nlines", "a,b"]


@pytest.mark.parametrize("text", ["\x1b[31mred", "\x9b31m", "a\x07b", "\u202egnol", "one\nline\r"])
def test_nothing_moves_the_cursor(text: str) -> None:
    drawn = draw_table(["said", text], [(text, 1)])
    assert len(drawn.split("\n")) == 3
    assert not set(drawn) & set("\x1b\x9b\x07\u202e\r")
    assert not set("".join(csv_lines(["x"], [(text,)]))[3:-2]) & set("\x1b\x9b\x07\u202e")
    [line] = json_rows(["said"], [(text,)])
    assert line.isascii()
    assert line.isprintable()
    assert json.loads(line) == {"said": text}


def test_tables_are_cut_and_say_so() -> None:
    drawn = draw_table(["n"], [(n,) for n in range(1500)], 2)
    assert drawn.split("\n")[2:] == ["0", "1", "... and 1,498 more; --rows 0 shows all."]


def test_the_commands(where: Path, tmp_path: Path) -> None:
    target = tmp_path / "c.duckdb"
    result = callout("collect", practice(), "--into", target, "--parquet", tmp_path / "months")
    assert result.exit_code == 0, result.output
    assert "36 new" in result.output
    assert "36 unchanged" in callout("collect", practice(), "--into", target).output
    result = callout("query", "--on", target, "-", typed="SELECT count(*) AS n FROM sessions")
    assert result.output.split() == ["n", "--", "36"]
    result = callout("query", "--on", target, "--report", "--format", "json")
    assert list(json.loads(result.output)) == list(REPORT) == list(PARTS)
    result = callout("query", "--on", tmp_path / "months", "--part", "causes", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.output)))
    assert rows[0]["cause"] == "any deviation"
    assert "reply_seconds" in callout("query", "--columns").output
    assert "wilson_low" in callout("query", "--sql-of", "items").output
    assert callout("query").exit_code == 2


def test_errors_are_one_sentence_with_a_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cases = [
        (["query", "--on", tmp_path / "none", "SELECT 1"], "no collection"),
        (["query", "--on", tmp_path, "--report", "--workers", "2"], "no Parquet files"),
        (["collect", tmp_path / "none"], "is not a folder"),
    ]
    for words, says in cases:
        error = callout(*words).exception
        assert isinstance(error, CalloutError)
        assert says in error.message
        assert error.hint
    monkeypatch.setitem(sys.modules, "duckdb", None)
    error = callout("collect", tmp_path, "--into", tmp_path / "c.duckdb").exception
    assert isinstance(error, CalloutError)
    assert 'pip install "callout[scale]"' in error.hint
