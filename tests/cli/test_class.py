"""The class page: people apart from lists, and what is agreed comes back until it is settled."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.agreements import class_log_in
from callout.app.reports.class_report import class_of
from callout.app.reports.class_sources import people_of
from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.debrief.rates import Rate
from callout.core.instructor.agreeing import Reached, Standard, standard_reached
from callout.journal.class_log import read_class_log

NAMES = ("Marla Quint", "Otto Brandvold", "Inès Ferro")


@pytest.fixture(scope="module")
def class_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("class") / "journals"
    make_year(folder, seed=5, sessions=36, names=NAMES)
    return folder


def _run(journals: Path, *words: str | Path) -> Result:
    told = [str(word) for word in words]
    return CliRunner().invoke(app, ["instructor", *told, "--journal-dir", str(journals)])


def test_what_is_agreed_comes_back_until_it_is_settled(class_folder: Path, tmp_path: Path) -> None:
    said = ("agree", NAMES[0], "Say the setting", "--by", "Ben Rook", "--due", "2026-01-31")
    assert _run(tmp_path, *said).exit_code == 0
    _run(tmp_path, "note", NAMES[1], "Hears well, looks late", "--by", "Ben Rook")
    shown = _run(tmp_path, "class", class_folder).output
    assert "1: Marla Quint: Say the setting (agreed" in shown
    assert "due 2026-01-31 (late)" in shown
    assert "1 agreed action is open and due." in shown
    assert "noted: Hears well, looks late" in shown
    assert _run(tmp_path, "settle", "2", "--by", "Ben Rook").exit_code != 0, "a note is no action"
    assert _run(tmp_path, "settle", "1", "--by", "Ben Rook").exit_code == 0
    again = _run(tmp_path, "class", class_folder).output
    assert "Say the setting" not in again
    assert "There are no open actions." in again
    assert len(read_class_log(class_log_in(tmp_path)).entries) == 3, "nothing is ever taken out"
    assert class_log_in(tmp_path).stat().st_mode & 0o077 == 0


def test_a_changed_line_of_the_notes_is_named(class_folder: Path, tmp_path: Path) -> None:
    for words in ("one", "two"):
        _run(tmp_path, "note", NAMES[0], words, "--by", "Ben Rook")
    path = class_log_in(tmp_path)
    path.write_bytes(path.read_bytes().replace(b'"one"', b'"One"'))
    found = CliRunner().invoke(
        app, ["instructor", "class", str(class_folder), "--journal-dir", str(tmp_path)]
    )
    assert "line 1 of the notes is damaged: its checksum does not fit" in found.output
    assert _run(tmp_path, "note", NAMES[0], "three", "--by", "Ben Rook").exit_code != 0


def test_the_class_is_the_same_from_a_collection(class_folder: Path, tmp_path: Path) -> None:
    with open_for_collecting(tmp_path / "c.duckdb") as collection:
        collect_folder(class_folder, collection)
    with people_of([class_folder]) as (people, problems):
        by_journals = class_of(people, (), problems)
    with people_of([], tmp_path / "c.duckdb") as (people, problems):
        by_collection = class_of(people, (), problems)
    assert by_collection == by_journals
    assert [p.name for p in by_journals.people] == sorted(NAMES, key=str.casefold)


def test_a_page_and_plain_values(class_folder: Path, tmp_path: Path) -> None:
    _run(
        tmp_path, "standard", "--at-most", "50", "--latest", "5", "--critical", "90", "--by", "Ben"
    )
    page = tmp_path / "class.html"
    assert _run(tmp_path, "class", class_folder, "--html", page).exit_code == 0
    html = page.read_text(encoding="utf-8")
    assert "over the latest 5 sessions at most 50\N{NO-BREAK SPACE}% of items" in html
    assert "<script" not in html
    assert page.stat().st_mode & 0o077 == 0
    told = json.loads(_run(tmp_path, "class", class_folder, "--json").stdout)
    assert {p["standard"] for p in told["people"]} == {"reached"}
    assert told["sessions"] == 36


@pytest.mark.parametrize(
    ("recent", "critical", "sessions", "expected"),
    [
        (Rate(0, 200), 0, 20, Reached.SURELY),
        (Rate(0, 200), 1, 20, Reached.MISSED),
        (Rate(2, 100), 0, 20, Reached.SEEN),
        (Rate(8, 100), 0, 20, Reached.UNCLEAR),
        (Rate(30, 100), 0, 20, Reached.MISSED),
        (Rate(0, 200), 0, 19, Reached.FEW),
    ],
)
def test_the_standard_is_reached_or_missed_only_where_the_whole_interval_says_so(
    recent: Rate, critical: int, sessions: int, expected: Reached
) -> None:
    assert standard_reached(Standard(5.0), recent, critical, sessions) is expected
    assert standard_reached(None, recent, critical, sessions) is Reached.NONE


def test_forgetting_takes_notes_and_actions_along(
    class_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "callout.app.privacy.forgetting.user_data_path", lambda *a, **k: tmp_path / "data"
    )
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    for name in NAMES[:2]:
        _run(tmp_path, "note", name, "looks late", "--by", "Ben Rook")
    words = ["forget", "--person", NAMES[0], "--yes", "--journal-dir", str(tmp_path)]
    found = CliRunner().invoke(app, words)
    assert found.exit_code == 0, found.output
    assert "Notes and agreed actions removed: 1." in found.output
    assert b"Marla" not in class_log_in(tmp_path).read_bytes()
    [left] = read_class_log(class_log_in(tmp_path)).entries
    assert left.trainee == NAMES[1]


def test_trends_and_comparison_are_the_same_from_a_collection(
    class_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    base = tmp_path / "c.duckdb"
    with open_for_collecting(base) as collection:
        collect_folder(class_folder, collection)

    def said(*words: str | Path) -> str:
        found = CliRunner().invoke(app, [str(word) for word in words])
        assert found.exit_code == 0, found.output
        return found.stdout

    for person in ((), ("--person", NAMES[0])):
        by_journals = said("trends", "--plain", "--journal-dir", class_folder, *person)
        assert said("trends", "--plain", "--from", base, *person) == by_journals
    assert said("instructor", "compare", "--from", base) == said(
        "instructor", "compare", class_folder
    )
    monkeypatch.setattr("callout.app.reports.class_sources.MOST_AT_ONCE", 10)
    refused = CliRunner().invoke(app, ["trends", "--from", str(base)])
    assert "too many to hold in memory at once" in str(refused.exception)
