"""``callout debrief`` and ``callout trends`` as a person runs them."""

from __future__ import annotations

import csv
import io
import json
import os
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.app.shared.safety import SAFETY
from callout.cli.main import app
from callout.errors import CalloutError
from tests.end_to_end.test_scripted import GOLDEN, SCRIPTS, callout
from tests.reporting.kit import keep, rough

NAME = "20310504T060000Z-before-start-0000a1"


def run(*args: str) -> Result:
    return CliRunner().invoke(app, list(args))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    keep(tmp_path, NAME, rough())
    return tmp_path


def test_one_session_in_plain_lines(folder: Path) -> None:
    done = run("debrief", "--journal-dir", str(folder))
    assert done.exit_code == 0, done.exception
    first, tonight, *lines = done.output.splitlines()
    assert first == "The first time for Before start checklist: 1 item went wrong."
    assert tonight.startswith("Tonight: Beacon")
    assert lines[0] == "Before start checklist: completed."
    assert "right first time 2 of 4" in lines[1]
    assert "1 hold" in lines[1]
    assert '    Beacon: said "off"' in lines
    assert "    Fuel pump (critical): inoperative" in lines
    assert lines[-1] == SAFETY
    assert "NASA/TM-2010-216396" in lines[-2]


@pytest.mark.parametrize("what", ["latest", NAME, NAME[:9]])
def test_a_session_is_found_by_what_people_know_of_it(folder: Path, what: str) -> None:
    by_id = run("debrief", what, "--journal-dir", str(folder))
    by_path = run("debrief", str(folder / f"{NAME}.jsonl"))
    assert by_id.exit_code == by_path.exit_code == 0
    assert by_id.output == by_path.output


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("debrief", "2032"), "No session in"),
        (("debrief", "missing.jsonl"), "cannot be read"),
        (("trends", "--person", "Nobody"), "No session matches these options"),
        (("debrief", "--csv", "no/such/folder/x.csv"), "cannot be written"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(
    folder: Path, args: tuple[str, ...], said: str
) -> None:
    done = run(*args, "--journal-dir", str(folder))
    assert isinstance(done.exception, CalloutError)
    assert said in done.exception.message
    assert done.exception.exit_code == 2


def test_an_empty_folder_says_how_to_begin(tmp_path: Path) -> None:
    done = run("debrief", "--journal-dir", str(tmp_path))
    assert isinstance(done.exception, CalloutError)
    assert "callout run" in done.exception.hint


def test_a_missing_library_is_named_with_its_command(
    folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for library in ("matplotlib", "matplotlib.figure", "scipy", "jinja2"):
        monkeypatch.setitem(sys.modules, library, None)
    for args in (("debrief", "--html", str(tmp_path / "x.html")), ("trends",)):
        done = run(*args, "--journal-dir", str(folder))
        assert isinstance(done.exception, CalloutError)
        assert done.exception.hint == 'Run: pip install "callout[debrief]"'
    assert not list(tmp_path.glob("*.html"))
    assert run("debrief", "--journal-dir", str(folder)).exit_code == 0, "printing needs no extra"


def test_tables_go_to_files_or_to_a_pipe(folder: Path, tmp_path: Path) -> None:
    found = json.loads(run("debrief", "--json", "--journal-dir", str(folder)).output)
    assert found["safety"] == SAFETY
    (session,) = found["sessions"]
    assert session["items"][0]["heard"][0]["transcript"] == "off"
    assert found["deviations"] == {"mismatched": 1, "too-fast": 1}
    out = tmp_path / "out.csv"
    assert run("debrief", "--csv", str(out), "--journal-dir", str(folder)).exit_code == 0
    rows = list(csv.DictReader(io.StringIO(out.read_bytes().decode(), newline="")))
    assert [row["item"] for row in rows] == ["beacon", "pump", "altimeter", "anti-ice", "doors"]
    assert rows[0]["heard"] == "off / on"
    assert {row["note"] for row in rows} == {SAFETY}
    assert not list(tmp_path.glob(".*.part"))


def test_the_summary_is_said_aloud(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []

    class Voice:
        failure = hint = ""

        def __init__(self, name: str, **facts: object) -> None:
            pass

        def say(self, text: str) -> bool:
            said.append(text)
            return True

        def close(self) -> None:
            said.append("(closed)")

    monkeypatch.setattr("callout.speaking.speakers.speaker_of", Voice)
    assert run("debrief", "--speak", "--journal-dir", str(folder)).exit_code == 0
    assert said[0] == "Before start checklist: completed, 2 of 4 items right first time."
    assert "Skipped for a reason: Fuel pump." in said
    assert said[-1] == "(closed)"
    assert len(said) < 10


def test_a_real_session_is_debriefed_as_its_golden_journal_says(
    checklist: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "journals"
    callout("run", str(checklist), "--journal-dir", str(folder), said=SCRIPTS["mistakes"])
    golden = [json.loads(x) for x in (GOLDEN / "mistakes.jsonl").read_text().splitlines()]
    done = run("debrief", "--json", "--journal-dir", str(folder))
    (session,) = json.loads(done.output)["sessions"]
    for verdict, count in (("mismatch", "mismatches"), ("unclear", "unclear")):
        expected = [g["item_id"] for g in golden if g.get("verdict") == verdict]
        found = [i["item_id"] for i in session["items"] for _ in range(i[count])]
        assert sorted(found) == sorted(expected)
    assert session["session"]["phase"] == "before-takeoff"
    skipped = [g["item_id"] for g in golden if g["type"] == "skipped"]
    assert [i["item_id"] for i in session["items"] if i["skipped"]] == skipped


def test_a_flight_is_debriefed_list_by_list(checklist: Path, tmp_path: Path) -> None:
    from tests.end_to_end.conftest import RIGHT

    folder = tmp_path / "journals"
    said = ["line-up checklist", *RIGHT.values(), "end of flight", "yes"]
    callout("fly", str(checklist.parent), "--journal-dir", str(folder), said=said)
    (flight,) = (folder / "flights").glob("*.jsonl")
    done = run("debrief", flight.stem, "--journal-dir", str(folder))
    assert done.exit_code == 0, done.exception
    assert done.output.splitlines()[0] == "Line-up checklist: completed."
    found = json.loads(run("debrief", str(flight), "--json").output)
    assert found["flight"]["flight"] == flight.stem


def _collected(folder: Path) -> Path:
    pytest.importorskip("duckdb")
    base = folder.parent / "c.duckdb"
    with open_for_collecting(base) as collection:
        collect_folder(folder, collection)
    return base


def test_a_debrief_is_the_same_from_a_collection(tmp_path: Path) -> None:
    """What only the journal holds is named, with where it is; then, that it is gone."""
    folder = tmp_path / "journals"
    folder.mkdir()
    journal = keep(folder, NAME, rough())
    base = _collected(folder)
    words = ["--from", str(base)]
    mine, theirs = run("debrief", str(journal)), run("debrief", *words)
    assert theirs.exit_code == 0, theirs.output
    assert theirs.stdout == mine.stdout
    assert "only in the journal" in theirs.stderr
    assert f"callout debrief {journal}" in theirs.stderr
    html = tmp_path / "out.html"
    assert run("debrief", "s1", *words, "--html", str(html)).exit_code == 0
    page = html.read_text(encoding="utf-8")
    assert "Timeline</h2>" not in page
    assert "no completion call" not in page
    assert str(folder) not in page, "a page that is passed on says nothing about folders"
    journal.unlink()
    gone = run("debrief", *words)
    assert gone.exit_code == 0
    assert f"no longer at {journal}." in gone.stderr


def test_a_collection_names_what_it_lacks(tmp_path: Path) -> None:
    folder = tmp_path / "journals"
    folder.mkdir()
    keep(folder, NAME, rough())
    base = _collected(folder)
    nobody = run("debrief", "2044", "--from", str(base))
    assert isinstance(nobody.exception, CalloutError)
    assert "No session in" in nobody.exception.message
    assert "SELECT session_id" in nobody.exception.hint
    sound = run("debrief", "--from", str(base), "--with-sound")
    assert sound.exit_code == 2
    assert "holds no sound" in sound.stderr


def test_a_flight_is_the_same_from_a_collection(checklist: Path, tmp_path: Path) -> None:
    from tests.end_to_end.conftest import RIGHT

    folder = tmp_path / "journals"
    said = ["line-up checklist", *RIGHT.values(), "end of flight", "yes"]
    callout("fly", str(checklist.parent), "--journal-dir", str(folder), said=said)
    (flight,) = (folder / "flights").glob("*.jsonl")
    base = _collected(folder)
    mine = run("debrief", flight.stem, "--journal-dir", str(folder))
    theirs = run("debrief", flight.stem, "--from", str(base))
    assert theirs.exit_code == 0, theirs.output
    assert theirs.stdout == mine.stdout


@pytest.fixture
def checklist(tmp_path: Path) -> Path:
    from tests.end_to_end.conftest import FLIGHT, LIST

    path = tmp_path / "lists" / "line-up.yaml"
    path.parent.mkdir()
    path.write_text(LIST)
    (path.parent / "flight.yaml").write_text(FLIGHT)
    return path


@pytest.mark.skipif(os.name != "posix", reason="rights of files are those of POSIX")
def test_a_report_has_the_rights_of_a_journal(folder: Path, tmp_path: Path) -> None:
    for name in ("csv", "json-file", "markdown"):
        out = tmp_path / f"out.{name}"
        done = run("debrief", f"--{name}", str(out), "--journal-dir", str(folder))
        assert done.exit_code == 0, done.output
        assert out.stat().st_mode & 0o777 == 0o600
    out.chmod(0o640)
    run("debrief", "--markdown", str(out), "--journal-dir", str(folder))
    assert out.stat().st_mode & 0o777 == 0o640, "who shared it wants it shared"
