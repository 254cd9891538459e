"""``callout wordings``: a reply in one's own words is let in, used, listed and revoked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.cli.main import app
from callout.core.checklist_run.records import Replied
from callout.core.model.verdict import Verdict
from callout.errors import CalloutError
from callout.journal.jsonl_reader import read_journal

LIST = """callout: 1
id: cabin
title: Cabin
phase: before-start
method: challenge-and-response
complete: cabin checklist complete
items:
  - {id: doors, challenge: Doors, response: closed and latched, critical: yes}
  - {id: harnesses, challenge: Harnesses, response: fastened, wrong: unfastened}
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    aircraft = tmp_path / "club-single"
    aircraft.mkdir()
    (aircraft / "cabin.yaml").write_text(LIST)
    settings = tmp_path / "settings.toml"
    settings.write_text('[crew]\nname = "Robin"\n')
    monkeypatch.setenv("CALLOUT_SETTINGS", str(settings))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    return tmp_path


def call(*args: str, said: str = "") -> Result:
    return CliRunner().invoke(app, list(args), input=said)


def fly(home: Path, *said: str) -> list[Verdict]:
    """Run the list with typed replies; return the verdicts."""
    lines = "".join(f"{line}\n" for line in said)
    before = set((home / "journals").glob("*.jsonl"))
    done = call("run", str(home / "club-single" / "cabin.yaml"), "--silent", said=lines)
    assert done.exit_code == 0, done.output
    (path,) = set((home / "journals").glob("*.jsonl")) - before
    return [r.verdict for r in read_journal(path).records if isinstance(r, Replied)]


def overlay(home: Path) -> Path:
    return home / "journals" / "wordings" / "robin" / "club-single" / "cabin.yaml"


def test_what_was_meant_and_not_taken_is_accepted_next_time(home: Path) -> None:
    no, yes = Verdict.UNCLEAR, Verdict.MATCH
    assert fly(home, "closed and latched", "buckled in", "fastened") == [yes, no, yes]
    looked = call("debrief")
    assert 'Harnesses: "buckled in"' in looked.output
    assert "To accept it next time: callout wordings accept" in looked.output
    done = call("wordings", "accept", said="y\n")
    assert "Accepted from now on" in done.output
    assert fly(home, "closed and latched", "buckled in") == [yes, yes]
    listed = call("wordings", "list").output
    assert 'cabin, harnesses: "buckled in", accepted ' in listed
    assert "by Robin" in listed
    assert "There is nothing to accept" in call("wordings", "accept").output
    assert "Revoked" in call("wordings", "revoke", "1").output
    assert not overlay(home).exists()
    assert fly(home, "closed and latched", "buckled in", "fastened") == [yes, no, yes]
    log = [json.loads(x) for x in (overlay(home).parents[1] / "log.jsonl").read_text().splitlines()]
    assert [(one["did"], one["who"]) for one in log] == [
        ("accepted", "Robin"),
        ("revoked", "Robin"),
    ]


def test_what_is_declined_is_not_offered_again(home: Path) -> None:
    fly(home, "closed and latched", "buckled in", "fastened")
    assert "not be asked about it again" in call("wordings", "accept", said="n\n").output
    assert "There is nothing to accept" in call("wordings", "accept").output
    assert "To accept it next time" not in call("debrief").output
    assert "declined by Robin" in call("wordings", "list", "--log").output


def test_a_critical_item_asks_twice(home: Path) -> None:
    fly(home, "doors flush", "closed and latched", "fastened")
    once = call("wordings", "accept", said="y\nn\n")
    assert "Doors is critical." in once.output
    assert not overlay(home).exists()
    cabin = str(home / "club-single" / "cabin.yaml")
    assert call("wordings", "add", cabin, "doors", "doors flush", said="y\n").exit_code == 0
    assert "confirmed: yes" in overlay(home).read_text()
    assert fly(home, "doors flush", "fastened") == [Verdict.MATCH, Verdict.MATCH]


@pytest.mark.parametrize("reply", ["unfastened", "not fastened", "off", "fasten them please"])
def test_a_contrary_is_refused_whoever_asks(home: Path, reply: str) -> None:
    fly(home, "closed and latched", reply, "fastened")
    assert "There is nothing to accept" in call("wordings", "accept").output
    cabin = str(home / "club-single" / "cabin.yaml")
    done = call("wordings", "add", cabin, "harnesses", reply, said="y\ny\n")
    assert isinstance(done.exception, CalloutError)
    assert f'"{reply}" is not accepted at Harnesses.' in done.exception.message
    assert not overlay(home).exists()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{accept: harnesses, also: not fastened}", "turns round"),
        ("{accept: doors, also: handles flush}", "must be confirmed"),
        ("{accept: belts, also: on}", 'no item "belts"'),
        ("{tighten: harnesses, critical: yes}", "only `accept:` belongs here"),
    ],
)
def test_a_line_that_does_not_fit_is_named_and_left_out(home: Path, line: str, said: str) -> None:
    cabin = str(home / "club-single" / "cabin.yaml")
    call("wordings", "add", cabin, "harnesses", "buckled in")
    text = overlay(home).read_text()
    overlay(home).write_text(f"{text}  - {line}\n")
    done = CliRunner().invoke(
        app, ["run", cabin, "--silent"], input="closed and latched\nbuckled in\n"
    )
    assert said in done.stderr
    assert "line 8" in done.stderr
    assert "Right: buckled in." in done.stdout


def test_a_file_that_cannot_be_read_stops_nothing(home: Path) -> None:
    cabin = str(home / "club-single" / "cabin.yaml")
    call("wordings", "add", cabin, "harnesses", "buckled in")
    overlay(home).write_text("callout: [\n")
    done = CliRunner().invoke(app, ["run", cabin, "--silent"], input="closed and latched\n")
    assert "Its wordings are not accepted." in done.stderr
    assert "Right: closed and latched." in done.stdout


def test_a_flight_and_a_drill_take_it_too(home: Path) -> None:
    cabin = str(home / "club-single" / "cabin.yaml")
    call("wordings", "add", cabin, "harnesses", "buckled in")
    said = "cabin checklist\nclosed and latched\nbuckled in\n"
    flown = call("fly", str(home / "club-single"), "--silent", said=said)
    assert "Right: buckled in." in flown.output
    drilled = call("drill", str(home / "club-single"), "--silent", "--mode", "challenge", "--show")
    assert drilled.exit_code == 0, drilled.output


def test_forgetting_the_person_takes_the_wordings_along(home: Path) -> None:
    cabin = str(home / "club-single" / "cabin.yaml")
    call("wordings", "add", cabin, "harnesses", "buckled in")
    call("forget", "--person", "Robin", "--yes")
    assert not list((home / "journals").glob("wordings/robin/**/*.*"))
