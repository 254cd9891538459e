"""The instructor's commands as a person runs them, on a made-up year of three people."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.journals import read_folder
from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.checklist_run.records import Began, Remarked, Skipped
from callout.core.debrief.rates import Cause, cause_happened
from callout.core.model.utterance import typed_utterance
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import line_of

NAMES = ("Marla Quint", "Otto Brandvold", "Ines Ferro")
FREE_TEXT = ("the wombat sat on it", "has anyone seen Zuzanna")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Journals of three people in which free text was planted."""
    folder = tmp_path_factory.mktemp("year") / "journals"
    make_year(folder, seed=3, sessions=18, names=NAMES)
    for path in folder.glob("*.jsonl"):
        records = list(read_journal(path).records)
        began = records[0]
        assert isinstance(began, Began)
        about = {**began.about, "file": f"/home/{NAMES[0].split()[0]}/list.yaml"}
        records[0] = replace(began, about=about)
        item = began.plan.items[0].id
        last = records.pop()
        said = Remarked(item, typed_utterance(FREE_TEXT[1])).written(last.seq, last.utc, last.at)
        reason = Skipped(item, FREE_TEXT[0]).written(last.seq + 1, last.utc, last.at)
        records += [said, reason, replace(last, seq=last.seq + 2)]
        path.write_bytes(b"".join(map(line_of, records)))
    return folder


@pytest.fixture
def year(shared: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "none.toml"))
    return Path(shutil.copytree(shared, tmp_path / "journals"))


def _run(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["instructor", *map(str, arguments)])


def test_trainees_stand_side_by_side_in_order_of_name(year: Path) -> None:
    found = _run("compare", year)
    assert found.exit_code == 0, found.output
    places = [found.output.index(name) for name in sorted(NAMES)]
    assert places == sorted(places)
    assert "6 sessions" in found.output
    told = json.loads(_run("compare", year, "--json").stdout)
    facts = read_folder(year).facts
    for row in told["trainees"]:
        own = [i for i in facts.items if i.person == row["trainee"] and i.met]
        assert row["share"]["met"] == len(own)
        assert row["share"]["wrong"] == sum(cause_happened(i, Cause.ANY) for i in own)


def test_an_export_holds_no_planted_name_or_free_text(year: Path, tmp_path: Path) -> None:
    to, salt = tmp_path / "out", tmp_path / "salt"
    found = _run("export", year, "--to", to, "--salt", salt)
    assert found.exit_code == 0, found.output
    files = [path for path in to.rglob("*") if path.is_file()]
    assert len([path for path in files if path.suffix == ".jsonl"]) == 18
    text = "\n".join(str(path.relative_to(to)) + path.read_text("utf-8") for path in files)
    parts = [part for name in NAMES for part in (name, *name.split())]
    for gone in (*parts, *FREE_TEXT, "wombat", "Zuzanna", "list.yaml"):
        assert not re.search(rf"(?<!\w){gone}(?!\w)", text, re.IGNORECASE), gone


def test_an_export_holds_no_name_in_ids_and_names_of_files(year: Path, tmp_path: Path) -> None:
    """A list may be called after a person, and so may its items and every journal of it."""
    first = NAMES[0].split()[0].casefold()
    path = sorted(year.glob("*.jsonl"))[0]
    records = list(read_journal(path).records)
    began = records[0]
    assert isinstance(began, Began)
    name = f"20310504T060000Z-{first}-doors-a1b2c3"
    records[0] = replace(began, session_id=name, plan=replace(began.plan, list_id=f"{first}-doors"))
    (year / f"{name}.jsonl").write_bytes(b"".join(map(line_of, records)))
    found = _run("export", year, "--to", tmp_path / "out", "--salt", tmp_path / "salt")
    assert found.exit_code == 0, found.output
    (made,) = (tmp_path / "out").rglob("*-doors-a1b2c3.jsonl")
    began = read_journal(made).records[0]
    assert isinstance(began, Began)
    assert began.session_id == made.stem
    assert began.plan.list_id.endswith("-doors")
    assert first not in made.name + made.read_text("utf-8").casefold()


def test_a_journal_that_was_repaired_is_exported(year: Path, tmp_path: Path) -> None:
    path = sorted(year.glob("*.jsonl"))[0]
    lines = path.read_bytes().splitlines(keepends=True)
    lines[len(lines) // 2] = lines[len(lines) // 2].replace(b'"at"', b'"zt"', 1)
    path.write_bytes(b"".join(lines))
    assert _run("export", year, "--to", tmp_path / "a", "--salt", tmp_path / "salt").exit_code == 1
    repaired = CliRunner().invoke(app, ["journal", "--repair", str(path)])
    assert repaired.exception is None or repaired.exit_code in (0, 1), repaired.output
    found = _run("export", year, "--to", tmp_path / "b", "--salt", tmp_path / "salt")
    assert found.exit_code == 0, found.output
    made = [p for p in (tmp_path / "b").rglob("*.jsonl") if p.stem == path.stem]
    assert len(made) == 1
    assert len(read_journal(made[0]).records) == len(read_journal(path).records)


def test_an_export_counts_the_same(year: Path, tmp_path: Path) -> None:
    to = tmp_path / "out"
    _run("export", year, "--to", to, "--salt", tmp_path / "salt")
    before = {i.session_id + i.item_id: i for i in read_folder(year).facts.items}
    after = {
        i.session_id + i.item_id: i
        for folder in to.iterdir()
        if folder.is_dir()
        for i in read_folder(folder).facts.items
    }
    assert before.keys() == after.keys()
    for key, item in before.items():
        now = after[key]
        free = {"person": now.person, "skip_reason": now.skip_reason, "heard": now.heard}
        assert now == replace(item, **free)


def test_pseudonyms_are_the_same_for_the_same_secret_only(year: Path, tmp_path: Path) -> None:
    for name, salt in (("a", "one"), ("b", "one"), ("c", "two")):
        _run("export", year, "--to", tmp_path / name, "--salt", tmp_path / salt)
    names = [{p.name for p in (tmp_path / n).iterdir() if p.is_dir()} for n in "abc"]
    assert names[0] == names[1]
    assert len(names[0]) == 3
    assert not names[0] & names[2]
    assert (tmp_path / "one").stat().st_mode & 0o077 == 0


def test_an_export_never_goes_where_something_is(year: Path, tmp_path: Path) -> None:
    for to in (year, year / "inside"):
        found = _run("export", year, "--to", to, "--salt", tmp_path / "salt")
        assert found.exit_code != 0
    assert not (year / "inside").exists()


def test_a_damaged_journal_is_named_and_not_exported(year: Path, tmp_path: Path) -> None:
    (year / "20300101T000000Z-bad-aaaaaa.jsonl").write_bytes(b"{no\n{no\n")
    found = _run("export", year, "--to", tmp_path / "out", "--salt", tmp_path / "salt")
    assert found.exit_code == 1
    assert "bad-aaaaaa.jsonl, line 1" in found.output


def _sign(year: Path, *journals: Path) -> str:
    names = ("--by", "Ines Ferro", "--trainee", NAMES[0], "--remark", "good scan")
    found = _run("sign", *journals, *names, "--journal-dir", year)
    assert found.exit_code == 0, found.output
    return found.output.split("Hash: ")[1].split()[0]


def test_an_edited_journal_and_an_edited_sign_off_are_named(year: Path) -> None:
    first, second, *_ = sorted(year.glob("*.jsonl"))
    _sign(year, first)
    last = _sign(year, second)
    assert _run("verify", "--journal-dir", year, "--last", last).exit_code == 0
    lines = second.read_bytes().splitlines(keepends=True)
    lines[6] = lines[6].replace(b'"at":', b'"at":1')
    second.write_bytes(b"".join(lines))
    found = _run("verify", "--journal-dir", year)
    assert found.exit_code == 1
    assert f"Sign-off 2: journal {second.stem}, line 7 was changed" in found.output
    register = year / "sign-offs" / "register.jsonl"
    register.write_text(register.read_text().replace("good scan", "poor scan", 1))
    assert "Sign-off 1: the names or remarks" in _run("verify", "--journal-dir", year).output


def test_the_last_sign_off_taken_away_shows_against_its_noted_hash(year: Path) -> None:
    first, second, *_ = sorted(year.glob("*.jsonl"))
    _sign(year, first)
    noted = _sign(year, second)
    register = year / "sign-offs" / "register.jsonl"
    register.write_bytes(register.read_bytes().splitlines(keepends=True)[0])
    assert _run("verify", "--journal-dir", year).exit_code == 0
    assert _run("verify", "--journal-dir", year, "--last", noted).exit_code == 1


def test_journals_on_another_machine_are_found_there(year: Path, tmp_path: Path) -> None:
    first = min(year.glob("*.jsonl"))
    _sign(year, first)
    (tmp_path / "other").mkdir()
    first.rename(tmp_path / "other" / first.name)
    assert _run("verify", "--journal-dir", year).exit_code == 1
    assert _run("verify", tmp_path / "other", "--journal-dir", year).exit_code == 0


def test_a_crash_while_signing_loses_nothing(year: Path) -> None:
    first, second, *_ = sorted(year.glob("*.jsonl"))
    _sign(year, first)
    register = year / "sign-offs" / "register.jsonl"
    with register.open("ab") as file:
        file.write(b'{"schema":1,"type":"sign')
    _sign(year, second)
    assert _run("verify", "--journal-dir", year).exit_code == 0


def test_an_unfinished_session_is_not_signed(year: Path) -> None:
    first = min(year.glob("*.jsonl"))
    first.write_bytes(b"".join(first.read_bytes().splitlines(keepends=True)[:-1]))
    found = _run("sign", first, "--by", "a", "--trainee", "b", "--journal-dir", year)
    assert found.exit_code != 0
    assert "not finished" in str(found.exception)
    assert not (year / "sign-offs").exists()


def test_a_hostile_name_cannot_steer_the_terminal(year: Path) -> None:
    path = min(year.glob("*.jsonl"))
    records = list(read_journal(path).records)
    began = records[0]
    assert isinstance(began, Began)
    about = {**began.about, "crew": "\x1b[2J\x1b]0;owned\x07Eve"}
    path.write_bytes(b"".join(map(line_of, [replace(began, about=about), *records[1:]])))
    for arguments in (("compare", year), ("signed", "--journal-dir", year)):
        assert "\x1b" not in _run(*arguments).output
    assert "Eve" in _run("compare", year).output


def test_sign_offs_are_listed(year: Path) -> None:
    _sign(year, min(year.glob("*.jsonl")))
    found = _run("signed", "--journal-dir", year)
    assert "Marla Quint, satisfactory, by Ines Ferro: good scan" in found.output
