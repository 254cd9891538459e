"""The standard report in SQL against pure Python, a statistics library and a published example."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from statistics import median, quantiles

import pytest

from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.core.debrief.facts import ItemFact
from callout.core.debrief.rates import Cause, cause_rate, grouped_rates, month_of
from callout.core.debrief.usual_times import source_of
from callout.core.model.intervals import wilson_interval
from callout.store.asking import (
    REPORT,
    QuerySection,
    ask_collection,
    query_about,
    query_sections,
    standard_report,
)
from callout.store.cluster import partial_results, shares_of, spread_report
from callout.store.engine import (
    PARTIALS,
    connect_database,
    open_for_reading,
    parquet_files,
    query_text,
    view_of,
)
from callout.store.partitions import write_months
from tests.store.journals import facts, practice

pytest.importorskip("duckdb")

ITEM_COLUMNS = {
    Cause.ANY: "deviations",
    Cause.OMITTED: "omitted",
    Cause.WRONG: "wrong",
    Cause.NOT_SET: "not_set",
    Cause.FAST: "within_a_second",
    Cause.ORDER: "out_of_order",
    Cause.UNCLEAR: "unclear",
    Cause.SLOW: "slow",
}


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """One collection as a database and as Parquet files."""
    where = tmp_path_factory.mktemp("store")
    with open_for_collecting(where / "c.duckdb") as collection:
        assert collect_folder(practice(), collection).problems == []
        list(write_months(collection, where / "months"))
    return {"database": where / "c.duckdb", "parquet": where / "months"}


@pytest.fixture(scope="module", params=["database", "parquet"])
def found(places: dict[str, Path], request: pytest.FixtureRequest) -> dict[str, QuerySection]:
    with open_for_reading(places[request.param]) as connection:
        return {section.name: section for section in standard_report(connection)}


def rows(section: QuerySection) -> Iterator[dict[str, object]]:
    return (dict(zip(section.columns, row, strict=True)) for row in section.rows)


@pytest.mark.parametrize(
    ("part", "column", "key"),
    [
        ("items", "id", lambda i: f"{i.list_id}/{i.item_id}"),
        ("lists", "list", lambda i: i.title),
        ("phases", "phase", lambda i: i.phase or "(not known)"),
        ("months", "month", lambda i: month_of(i.began)),
    ],
)
def test_rates_equal_those_worked_out_without_a_database(
    found: dict[str, QuerySection], part: str, column: str, key: object
) -> None:
    expected = {cause: grouped_rates(facts().items, key, cause) for cause in Cause}  # type: ignore[arg-type]
    shown = {row[column]: row for row in rows(found[part])}
    assert set(shown) == set(expected[Cause.ANY])
    for name, row in shown.items():
        for cause, counted in ITEM_COLUMNS.items():
            assert row[counted] == expected[cause][name].hits
        whole = expected[Cause.ANY][name]
        assert row["met"] == whole.total
        assert (row["low"], row["high"]) == pytest.approx(whole.interval, abs=1e-9)
        assert row["rate"] == pytest.approx(whole.share)


def test_causes(found: dict[str, QuerySection]) -> None:
    shown = {row["cause"]: row for row in rows(found["causes"])}
    for cause in Cause:
        expected = cause_rate(facts().items, cause)
        row = shown["within a second" if cause is Cause.FAST else cause.value]
        assert (row["hits"], row["met"]) == (expected.hits, expected.total)
        assert (row["low"], row["high"]) == pytest.approx(expected.interval, abs=1e-9)
    assert sum(int(str(row["hits"])) for row in shown.values()) > 20, "there is something to count"


@pytest.mark.parametrize(
    ("part", "column", "key"),
    [
        ("times-by-phase", "phase", lambda i: i.phase or i.list_id),
        ("times-by-item", "id", lambda i: f"{i.list_id}/{i.item_id}"),
        ("times-by-month", "month", lambda i: month_of(i.began)),
    ],
)
def test_times_equal_those_of_the_statistics_module(
    found: dict[str, QuerySection], part: str, column: str, key: object
) -> None:
    groups: dict[str, list[float]] = {}
    for item in _spoken():
        assert item.reply_seconds is not None
        groups.setdefault(key(item), []).append(item.reply_seconds)  # type: ignore[operator]
    groups = {name: times for name, times in groups.items() if len(times) >= 5}
    shown = {row[column]: row for row in rows(found[part])}
    assert set(shown) == set(groups)
    for name, times in groups.items():
        low, _, high = quantiles(times, n=4, method="inclusive")
        parts = quantiles(times, n=20, method="inclusive")
        row = shown[name]
        assert row["replies"] == len(times)
        got = [row[c] for c in ("median", "quartile_1", "quartile_3", "p5", "p95")]
        assert got == pytest.approx([median(times), low, high, parts[0], parts[-1]], abs=1e-9)


def _spoken() -> list[ItemFact]:
    timed = [i for i in facts().items if i.reply_seconds is not None and i.reply_seconds > 0]
    return [i for i in timed if source_of(i) == "voice"]


@pytest.mark.parametrize(
    ("hits", "total", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_in_sql_against_published_examples(
    hits: int, total: int, low: float, high: float
) -> None:
    """Newcombe, Statistics in Medicine 17:857-872 (1998), table I, method 3."""
    with closing(connect_database(":memory:", "100MB")) as connection:
        connection.execute(query_text("macros"))
        asked = f"SELECT wilson_low({hits}, {total}), wilson_high({hits}, {total})"
        got = connection.execute(asked).fetchone()
        assert got == pytest.approx((low, high), abs=5e-5)
        assert got == pytest.approx(wilson_interval(hits, total), abs=1e-14)
        assert connection.execute("SELECT wilson_low(0, 0), wilson_high(0, 0)").fetchone() == (0, 1)


def test_every_part_says_what_it_shows_and_can_be_asked_for_itself(
    places: dict[str, Path], found: dict[str, QuerySection]
) -> None:
    with open_for_reading(places["database"]) as connection:
        for name in REPORT:
            assert query_about(name).endswith(".")
            assert tuple(ask_collection(connection, query_text(name)).rows) == found[name].rows


def test_several_workers_find_exactly_the_same(places: dict[str, Path]) -> None:
    pytest.importorskip("distributed")
    pytest.importorskip("cryptography")
    with open_for_reading(places["database"]) as connection:
        alone = list(standard_report(connection))
    assert list(spread_report(places["parquet"], workers=3)) == alone


@pytest.mark.parametrize("workers", [1, 3, 5, 40])
def test_the_parts_of_any_number_of_workers_add_up_exactly(
    places: dict[str, Path], tmp_path: Path, workers: int
) -> None:
    """The same partial results, worked out here one after another."""
    files = parquet_files(places["parquet"], "items")
    shares = shares_of(files, workers)
    assert len(shares) == min(workers, len(files))
    assert sorted(path for share in shares for path in share) == sorted(map(str, files))
    for number, share in enumerate(shares):
        for name, content in partial_results(share, "200MB").items():
            (tmp_path / f"{name}-{number}.parquet").write_bytes(content)
    with open_for_reading(places["database"]) as connection:
        alone = list(standard_report(connection))
    with closing(connect_database(":memory:", "200MB")) as connection:
        connection.execute(query_text("macros"))
        for name in PARTIALS:
            connection.execute(view_of(name, sorted(tmp_path.glob(f"{name}-*"))))
        assert list(query_sections(connection, REPORT)) == alone


def test_no_journals_give_an_empty_report(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with open_for_collecting(tmp_path / "c.duckdb") as collection:
        collect_folder(tmp_path / "empty", collection)
        assert list(write_months(collection, tmp_path / "months")) == []
    for target in (tmp_path / "c.duckdb", tmp_path / "months"):
        with open_for_reading(target) as connection:
            assert all(s.rows == () for s in standard_report(connection, REPORT[1:]))
    shutil.rmtree(tmp_path / "months")
