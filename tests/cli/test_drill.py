"""``callout drill`` as a person runs it: keyboard from a pipe, journals, several machines."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.collected_practice import collected_practice
from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.app.reports.journals import read_folder
from callout.app.running.practice import pages_in, read_practice
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.checklist_run.records import Began
from callout.core.drill import records as d
from callout.core.drill.entries import Page, entries_of
from callout.core.drill.evidence import Grade, Weakness
from callout.core.drill.exercise import Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict
from callout.errors import CalloutError
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import line_of
from tests.forked import run_callout

AIRCRAFT = sorted(
    p for p in shipped_folder(CHECKLISTS).iterdir() if p.is_dir() and p.name[0] != "_"
)


@pytest.fixture(autouse=True)
def _own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "none.toml"))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))


def _drill(tmp_path: Path, typed: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return run_callout(["drill", *arguments], typed)


def _show(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["drill", "--show", *map(str, arguments)])


def test_a_new_person_begins_with_shipped_lists(tmp_path: Path) -> None:
    found = _show()
    assert found.exit_code == 0, found.output
    assert "shipped lists, critical items first" in found.output
    assert "15 items" in found.output
    assert "new, critical" in found.output


def test_a_drill_by_keyboard_is_kept_and_counts(tmp_path: Path) -> None:
    folder = str(shipped_folder(CHECKLISTS) / "sandling-two")
    typed = "not known\nremoved\nstop\n"
    done = _drill(tmp_path, typed, folder, "--mode", "challenge", "--silent")
    assert done.returncode == 0, done.stderr
    assert "Drill: stopped." in done.stdout
    [path] = (tmp_path / "journals" / "drills").glob("*.jsonl")
    graded = [r for r in read_journal(path).records if isinstance(r, d.ExerciseGraded)]
    assert graded[0].grade is Grade.MISSED
    found = read_practice([tmp_path / "journals"])
    assert [review.grade for review in found.reviews] == [r.grade for r in graded]
    again = _show(folder)
    assert "answered wrongly" in again.output
    listed = CliRunner().invoke(app, ["journal"])
    assert f"stopped     Drill, 1 of 15  {path}" in listed.output
    told = CliRunner().invoke(app, ["replay", str(path)])
    assert "Graded: missed." in told.output


def test_the_end_of_a_pipe_ends_it_and_keeps_what_was_answered(tmp_path: Path) -> None:
    done = _drill(tmp_path, "not known\n", "--silent", "--minutes", "1")
    assert done.returncode == 0, done.stderr
    assert "interrupted; your answers so far count" in done.stdout
    assert len(read_practice([tmp_path / "journals"]).reviews) == 1


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("year") / "journals"
    make_year(folder, seed=4, sessions=24, names=("Marla Quint", "Otto Brandvold"))
    return folder


def test_a_demonstration_is_nobodys_practice(year: Path, tmp_path: Path) -> None:
    here = tmp_path / "here"
    here.mkdir()
    path = min(year.glob("*.jsonl"))
    records = list(read_journal(path).records)
    began = records[0]
    assert isinstance(began, Began)
    records[0] = replace(began, about={**began.about, "made": "demonstration"})
    (here / path.name).write_bytes(b"".join(map(line_of, records)))
    assert read_practice([here]).reviews == []
    assert read_practice([here]).pages == []


def test_several_people_are_told_apart(year: Path) -> None:
    found = _show("--journal-dir", year)
    assert found.exit_code != 0
    assert "several people: Marla Quint, Otto Brandvold" in str(found.exception)
    one, other = (_show("--journal-dir", year, "--person", n).output for n in
                  ("Marla Quint", "otto brandvold"))  # fmt: skip
    assert one != other


def test_journals_of_two_machines_give_what_one_would(year: Path, tmp_path: Path) -> None:
    """Split by hand, one session kept on both machines, on one of them cut short."""
    a, b = tmp_path / "a", tmp_path / "b"
    a.mkdir()
    b.mkdir()
    for number, path in enumerate(sorted(year.glob("*.jsonl"))):
        shutil.copy(path, (a, b)[number % 2])
        if number == 4:
            (b / path.name).write_bytes(b"".join(path.read_bytes().splitlines(True)[:6]))
    whole = read_practice([year], "Marla Quint")
    for folders in ([a, b], [b, a], [a, b, a]):
        found = read_practice(folders, "Marla Quint")
        assert found.reviews == whole.reviews
        assert found.pages == whole.pages
        assert found.problems == []


def test_a_collection_gives_what_its_journals_would(year: Path, tmp_path: Path) -> None:
    collection = tmp_path / "year.duckdb"
    with open_for_collecting(collection) as into:
        collect_folder(year, into)
    for person in stored_people(year):
        known = read_practice([year], person)
        found = collected_practice(collection, [tmp_path / "elsewhere"], person)
        assert found.reviews == known.reviews
        assert _by_list(found.pages) == _by_list(known.pages)
        assert (found.others, found.problems) == (known.others, [])
        journals = _show("--journal-dir", year, "--person", person)
        rows = _show("--from", collection, "--person", person)
        assert (rows.exit_code, rows.output) == (journals.exit_code, journals.output)


def test_a_collection_whose_journals_are_gone_says_so(year: Path, tmp_path: Path) -> None:
    folder, collection = tmp_path / "crew", tmp_path / "crew.duckdb"
    shutil.copytree(year, folder)
    with open_for_collecting(collection) as into:
        collect_folder(folder, into)
    shutil.rmtree(folder)
    person = stored_people(year)[0]
    found = collected_practice(collection, [], person)
    assert found.reviews == read_practice([year], person).reviews
    assert not found.pages
    assert "cannot be found" in " ".join(found.problems)
    answer = _show("--from", collection)
    assert isinstance(answer.exception, CalloutError)
    assert "several people" in answer.exception.message
    assert isinstance(_show("--from", tmp_path / "none.duckdb").exception, CalloutError)


def stored_people(folder: Path) -> list[str]:
    return sorted({s.person for s in read_folder(folder).facts.sessions})


def _by_list(pages: list[Page]) -> dict[tuple[str, str], Page]:
    return {(page.aircraft, page.plan.list_id): page for page in pages}


def test_a_damaged_journal_is_named_and_left_out(year: Path, tmp_path: Path) -> None:
    here = Path(shutil.copytree(year, tmp_path / "here"))
    (here / "20300101T000000Z-bad-aaaaaa.jsonl").write_bytes(b"{no\n{no\n")
    found = read_practice([here], "Marla Quint")
    assert found.reviews == read_practice([year], "Marla Quint").reviews
    assert "bad-aaaaaa.jsonl, line 1" in found.problems[0]


@pytest.mark.parametrize("mode", list(Mode), ids=lambda m: m.value)
@pytest.mark.parametrize("folder", AIRCRAFT, ids=lambda p: p.name)
def test_every_shipped_item_can_be_drilled_in_every_way(folder: Path, mode: Mode) -> None:
    """Each exercise takes its own answer, and no reply that it calls wrong."""
    tables = default_tables()
    entries = list(entries_of(pages_in(folder)))
    picks = [Pick(entry, 0.5, 0.5, Weakness.NONE) for entry in entries]
    found = exercises_of(picks, mode, "seed", tables)
    assert len(found) == len(entries)
    assert sum(exercise.mode is mode for exercise in found) > 0.9 * len(entries)
    for exercise in found:
        corrected = f"wrong, {exercise.answer}" if exercise.then else exercise.answer
        for reply in (exercise.answer, corrected):
            judged = judge_reply(reply, exercise.expectation, tables)
            assert judged.verdict is Verdict.MATCH, (exercise.prompt, reply)
        for wrong in exercise.expectation.wrong:
            judged = judge_reply(wrong.answer.text, exercise.expectation, tables)
            assert judged.verdict is not Verdict.MATCH, (exercise.prompt, wrong.answer.text)


@pytest.mark.audio
def test_the_demonstration_goes_from_recordings_to_grades(tmp_path: Path) -> None:
    done = _drill(tmp_path, "", "--demo", "--fast", "--journal-dir", str(tmp_path))
    assert (done.returncode, done.stderr) == (0, ""), done.stdout + done.stderr
    [path] = (tmp_path / "demonstrations" / "drills").glob("*.jsonl")
    records = read_journal(path).records
    grades = [r.grade for r in records if isinstance(r, d.ExerciseGraded)]
    assert grades == [Grade.MISSED, Grade.RIGHT, Grade.RIGHT, Grade.RIGHT, Grade.RIGHT, Grade.RIGHT]
    replies = [r for r in records if isinstance(r, d.ExerciseAnswered)]
    assert all(r.utterance.sure for r in replies)
    assert read_practice([tmp_path]).reviews == [], "a demonstration says nothing of the person"


def test_nothing_is_asked_of_stdin_with_show(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert _show("--minutes", "1").output.count(" 1 in ") >= 4
