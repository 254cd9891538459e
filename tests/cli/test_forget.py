"""``callout forget`` removes what it says, touches nothing else, and tells what is left."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from callout.app.running.practice import read_practice
from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.checklist_run.records import Began, Remarked
from callout.core.drill.records import DrillBegan
from callout.core.model.utterance import typed_utterance
from callout.hearing.voices import Voice, VoiceTake, enrolled_voices, keep_voice, voices_folder
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import line_of, reopen_journal
from tests.core.drill.drill_kit import Drill, exercises

MARLA, OTTO, INES = "Marla Quint", "Otto Brandvold", "Inès Ferro"


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tool's data folder with a year of three people."""
    monkeypatch.setattr(
        "callout.app.privacy.forgetting.user_data_path", lambda *a, **k: tmp_path / "data"
    )
    monkeypatch.setenv("CALLOUT_MODEL_DIR", str(tmp_path / "data" / "models"))
    monkeypatch.setenv("CALLOUT_VOICES_DIR", str(tmp_path / "data" / "voices"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "data" / "journals"))
    make_year(tmp_path / "data" / "journals", seed=2, sessions=9, names=(MARLA, OTTO, INES))
    return tmp_path / "data"


def _of(data: Path, name: str) -> list[Path]:
    found = []
    for path in sorted((data / "journals").glob("*.jsonl")):
        began = read_journal(path).records[0]
        assert isinstance(began, Began)
        if began.about["crew"] == name:
            found.append(path)
    return found


def _forget(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["forget", *map(str, arguments)])


def _all_bytes(folder: Path) -> bytes:
    return b"\n".join(p.name.encode() + p.read_bytes() for p in folder.rglob("*") if p.is_file())


def test_a_person_is_gone_with_everything_of_theirs(data: Path) -> None:
    sessions = [path.stem for path in _of(data, MARLA)]
    kept = {path: path.read_bytes() for n in (OTTO, INES) for path in _of(data, n)}
    (data / "recordings" / sessions[0]).mkdir(parents=True)
    (data / "recordings" / sessions[0] / "0001.wav").write_bytes(b"RIFF")
    (data / "recordings" / f"{sessions[1]}-0002.wav").write_bytes(b"RIFF")
    (data / "voices").mkdir()
    _enrol(MARLA, data / "voices")
    _enrol(OTTO, data / "voices")
    (data / "facts.duckdb").write_bytes(b"worked out")
    found = _forget("--person", "marla quint", "--yes")
    assert found.exit_code == 0, found.output
    assert "as UTF-8 or with JSON escapes" in found.output
    assert "nothing is left in that form." in found.output
    assert "Not searched: other encodings" in found.output
    assert {path: path.read_bytes() for path in kept} == kept
    assert [voice.name for voice in enrolled_voices(data / "voices")] == [OTTO]
    left = _all_bytes(data).lower()
    assert b"quint" not in left
    assert not any(session.encode().lower() in left for session in sessions)
    assert not (data / "facts.duckdb").exists()
    assert not (data / "recordings").exists()


def _enrol(name: str, folder: Path) -> Path:
    take = VoiceTake("on", np.zeros((3, 288), np.float32), np.zeros(13, np.float32))
    return keep_voice(Voice(name, (take,)), folder)


def test_a_voice_kept_elsewhere_goes_too(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CALLOUT_VOICES_DIR", str(tmp_path / "voices"))
    _enrol(MARLA, tmp_path / "voices")
    _enrol(OTTO, tmp_path / "voices")
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    assert [voice.name for voice in enrolled_voices(tmp_path / "voices")] == [OTTO]


def test_the_voice_of_that_person_goes_even_without_a_session_of_theirs(data: Path) -> None:
    """Kept where enrolment keeps it (``voices_folder``), and chosen in the settings."""
    settings = data.parent / "settings.toml"
    settings.write_text('[hearing]\nheadset = true\nvoice = "Nell Aske"\n')
    path = _enrol("Nell Aske", voices_folder())
    _enrol("Nell", voices_folder())
    assert "1 enrolled voice" in _forget("--person", "nell  aske", "--dry-run").output
    assert path.exists()
    found = _forget("--person", "nell  aske", "--yes")
    assert found.exit_code == 0, found.output
    assert not path.exists()
    assert [voice.name for voice in enrolled_voices()] == ["Nell"]
    assert settings.read_text() == "[hearing]\nheadset = true\n"


def test_it_asks_first(data: Path) -> None:
    before = _all_bytes(data)
    for arguments in (("--person", MARLA), ("--person", MARLA, "--dry-run")):
        _forget(*arguments)
        assert _all_bytes(data) == before
    assert "To be deleted: 3 journals." in _forget("--person", MARLA, "--dry-run").output


def test_a_mention_elsewhere_is_named_and_is_no_success(data: Path) -> None:
    (path, *_) = _of(data, OTTO)
    records = list(read_journal(path).records)
    item = records[0].plan.items[0].id  # type: ignore[attr-defined]
    last = records[-1]
    said = Remarked(item, typed_utterance("as MARLA  quint does")).written(
        last.seq + 1, last.utc, last.at
    )
    path.write_bytes(b"".join(map(line_of, [*records, said])))
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 1
    assert f"{path}, line {last.seq + 1}" in found.output


def test_a_name_beyond_ascii_is_found_in_every_way_json_writes_it(data: Path) -> None:
    for text in (f"for {INES}", json.dumps(f"for {INES}"), f"for {INES.upper()}"):
        (data / "note.txt").write_text(text, encoding="utf-8")
        assert "note.txt, line 1" in _forget("--person", INES, "--yes").output


def test_a_shared_journal_is_left_and_named_unless_told(data: Path) -> None:
    (path, *_) = _of(data, OTTO)
    records = list(read_journal(path).records)
    began = records[0]
    assert isinstance(began, Began)
    records[0] = replace(began, about={**began.about, "crew": f"{MARLA} & {OTTO}"})
    path.write_bytes(b"".join(map(line_of, records)))
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 1
    assert path.exists()
    assert f"{path}, line 1" in found.output
    assert _forget("--person", MARLA, "--shared", "--yes").exit_code == 0
    assert not path.exists()


def test_a_period_is_gone_and_no_day_beside_it(data: Path) -> None:
    journals = sorted((data / "journals").glob("*.jsonl"))
    days = [path.name[:8] for path in journals]
    day = f"{days[4][:4]}-{days[4][4:6]}-{days[4][6:]}"
    found = _forget("--since", day, "--until", day, "--yes")
    assert found.exit_code == 0, found.output
    left = {path.name for path in (data / "journals").glob("*.jsonl")}
    assert left == {path.name for path in journals if path.name[:8] != days[4]}


def test_sign_offs_keep_only_their_hashes_and_still_verify(data: Path) -> None:
    marla, otto = _of(data, MARLA)[0], _of(data, OTTO)[0]
    runner = CliRunner()
    hashes = []
    for path, name in ((marla, MARLA), (otto, OTTO)):
        arguments = ["instructor", "sign", str(path), "--by", "Vera Holm", "--trainee", name]
        hashes.append(runner.invoke(app, arguments).output.split("Hash: ")[1].split()[0])
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 0, found.output
    assert "Sign-offs reduced to their hashes: 1" in found.output
    checked = runner.invoke(app, ["instructor", "verify", "--last", hashes[1]])
    assert checked.exit_code == 0, checked.output
    assert "Sign-off 1: names or a journal were forgotten on request" in checked.output
    register = (data / "journals" / "sign-offs" / "register.jsonl").read_text(encoding="utf-8")
    assert hashes[0] in register
    assert "Otto" in register


def test_a_running_session_stays_and_is_named(data: Path) -> None:
    (path, *_) = _of(data, MARLA)
    writer, _ = reopen_journal(path)
    try:
        found = _forget("--person", MARLA, "--yes")
    finally:
        writer.close()
    assert found.exit_code == 1
    assert f"{path}: its session is running" in found.output
    assert path.exists()
    assert _forget("--person", MARLA, "--yes").exit_code == 0


def test_nothing_outside_is_touched(data: Path, tmp_path: Path) -> None:
    """A link in the folder does not lead out of it; other programs' files stay."""
    outside = tmp_path / "elsewhere"
    outside.mkdir()
    (path, *_) = _of(data, MARLA)
    secret = path.read_bytes()
    (outside / path.name).write_bytes(secret)
    path.unlink()
    path.symlink_to(outside / path.name)
    (data / "linked").symlink_to(outside)
    other = data / "journals" / "shopping.jsonl"
    other.write_text(json.dumps({"utc": "2031-01-05T10:00:00Z", "list": "bread"}) + "\n")
    _forget("--person", MARLA, "--yes")
    _forget("--since", "2031-01-01", "--until", "2031-12-31", "--yes")
    assert (outside / path.name).read_bytes() == secret
    assert other.exists()


def test_drills_are_forgotten_and_drilling_goes_on(data: Path) -> None:
    folder = data / "journals" / "drills"
    folder.mkdir()
    for name in (MARLA, OTTO):
        drill = Drill(exercises(None)).say("not known").say("stop")
        began = drill.records[0]
        assert isinstance(began, DrillBegan)
        mark = name[:1]
        path = folder / f"20310601T100000Z-drill-{mark}.jsonl"
        first = replace(began, drill_id=path.stem, about={"crew": name})
        path.write_bytes(b"".join(map(line_of, [first, *drill.records[1:]])))
    assert sum(r.drill for r in read_practice([data / "journals"], MARLA).reviews) == 1
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    assert [p.stem[-1] for p in folder.glob("*.jsonl")] == ["O"]
    assert read_practice([data / "journals"], MARLA).reviews == []
    shown = CliRunner().invoke(app, ["drill", "--show", "--person", MARLA])
    assert shown.exit_code == 0, shown.output
    told = CliRunner().invoke(app, ["journal", str(next(folder.glob("*.jsonl")))])
    assert "Drill: stopped." in told.output


def test_an_index_elsewhere_is_left_and_said_not_to_be_proven(data: Path, tmp_path: Path) -> None:
    """Compressed tables cannot be read through; those in the data folder are the tool's own."""
    journals = tmp_path / "mine"
    (data / "journals").rename(journals)
    (journals / "theirs.parquet").write_bytes(b"squeezed")
    (data / "collection.duckdb").write_bytes(b"squeezed")
    found = _forget("--person", MARLA, "--yes", "--journal-dir", journals)
    assert found.exit_code == 1
    assert f"{journals / 'theirs.parquet'}: cannot be read" in found.output
    assert (journals / "theirs.parquet").exists()
    assert not (data / "collection.duckdb").exists()


def test_models_are_not_read_through(data: Path) -> None:
    (data / "models" / "big").mkdir(parents=True)
    (data / "models" / "big" / "weights").write_text(MARLA)
    assert _forget("--person", MARLA, "--yes").exit_code == 0


def test_a_damaged_journal_of_the_person_is_named(data: Path) -> None:
    path = data / "journals" / "20310101T000000Z-x-aaaaaa.jsonl"
    path.write_bytes(b'{"broken": "' + MARLA.encode() + b"\n{}\n")
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 1
    assert f"{path}, line 1" in found.output


def test_a_journal_of_a_later_version_is_forgotten_too(data: Path) -> None:
    path = data / "journals" / "20310101T000000Z-x-bbbbbb.jsonl"
    fields = {"schema": 99, "type": "began", "utc": "2031-01-01T00:00:00Z"}
    path.write_text(json.dumps({**fields, "about": {"crew": MARLA}}) + "\n")
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    assert not path.exists()


def test_the_name_goes_out_of_the_settings_and_nothing_else(data: Path, tmp_path: Path) -> None:
    settings = tmp_path / "settings.toml"
    text = '# mine\n[voice]\nname = "Marla Quint"\n\n[crew]\nname = "Marla Quint"  # me\n'
    text += 'size = 1\nleft = "Otto"\n'
    settings.write_text(text)
    assert _forget("--person", OTTO, "--yes").exit_code == 0
    assert settings.read_text() == text
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    assert settings.read_text() == text.replace('\nname = "Marla Quint"  # me', "")


def test_other_commands_go_on_afterwards(data: Path) -> None:
    _forget("--person", MARLA, "--yes")
    runner = CliRunner()
    assert runner.invoke(app, ["journal"]).exit_code == 0
    assert "no unfinished session" in str(runner.invoke(app, ["resume"]).exception)


@pytest.mark.parametrize(
    "arguments", [(), ("--since", "2026-03-02", "--until", "2026-03-01"), ("--person", "  ")]
)
def test_a_wish_without_sense_is_refused(data: Path, arguments: tuple[str, ...]) -> None:
    before = _all_bytes(data)
    assert _forget(*arguments, "--yes").exit_code != 0
    assert _all_bytes(data) == before


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may remove anything")
def test_what_cannot_be_removed_is_named(data: Path) -> None:
    (data / "journals").chmod(0o500)
    try:
        found = _forget("--person", MARLA, "--yes")
    finally:
        (data / "journals").chmod(0o700)
    assert found.exit_code == 1
    assert "Could not be deleted" in found.output


def test_a_collection_elsewhere_is_found_and_no_byte_of_the_name_is_left(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Uncompressed, so that the bytes can be looked through (DuckDB, pragma force_compression)."""
    here = lambda *a, **k: data  # noqa: E731
    monkeypatch.setattr("callout.app.reports.collecting.user_data_path", here)
    plain = lambda _path: "uncompressed"  # noqa: E731
    monkeypatch.setattr("callout.store.collection.compression_of", plain)
    school = tmp_path / "far" / "school.duckdb"
    months = tmp_path / "far" / "months"
    [first, *_] = (path.stem for path in _of(data, MARLA))
    assert CliRunner().invoke(
        app, ["collect", "--into", str(school), "--parquet", str(months)]
    ).exit_code == 0  # fmt: skip
    assert MARLA.encode() in school.read_bytes()
    assert first.encode() in school.read_bytes()
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 0, found.output
    assert f"Rewritten without them and checked: {school}" in found.output
    assert MARLA.encode() not in school.read_bytes()
    assert first.encode() not in school.read_bytes()
    asked = ["query", "--on", str(school), "SELECT DISTINCT person FROM sessions ORDER BY 1"]
    for target in (school, months):
        asked[2] = str(target)
        told = CliRunner().invoke(app, [*asked, "--format", "csv"]).output
        assert told.split() == ["person", INES.split()[0], INES.split()[1], *OTTO.split()]


def test_what_a_collection_holds_of_journals_long_gone_is_forgotten_too(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = lambda *a, **k: data  # noqa: E731
    monkeypatch.setattr("callout.app.reports.collecting.user_data_path", here)
    school = tmp_path / "school.duckdb"
    CliRunner().invoke(app, ["collect", "--into", str(school)])
    for path in _of(data, MARLA):
        path.unlink()
    found = _forget("--person", MARLA, "--dry-run")
    assert f"deleted from the collection {school}: 3 sessions" in found.output
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    assert "nothing" not in _forget("--person", MARLA, "--dry-run").output
    assert str(school) not in _forget("--person", MARLA, "--dry-run").output


def test_a_collection_in_use_is_named_and_is_no_success(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = lambda *a, **k: data  # noqa: E731
    monkeypatch.setattr("callout.app.reports.collecting.user_data_path", here)
    school = tmp_path / "school.duckdb"
    CliRunner().invoke(app, ["collect", "--into", str(school)])
    school.write_bytes(b"damaged" + school.read_bytes())
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 1
    assert f"{school}: {school} is not a readable collection" in found.output


def test_collecting_again_leaves_no_byte_of_a_journal_that_is_gone(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = lambda *a, **k: data  # noqa: E731
    monkeypatch.setattr("callout.app.reports.collecting.user_data_path", here)
    plain = lambda _path: "uncompressed"  # noqa: E731
    monkeypatch.setattr("callout.store.collection.compression_of", plain)
    school = tmp_path / "school.duckdb"
    CliRunner().invoke(app, ["collect", "--into", str(school)])
    for path in _of(data, MARLA):
        path.unlink()
    assert MARLA.encode() in school.read_bytes()
    CliRunner().invoke(app, ["collect", "--into", str(school)])
    assert MARLA.encode() not in school.read_bytes()


def test_a_collection_on_a_disk_that_is_away_is_named_and_stays_on_the_list(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = lambda *a, **k: data  # noqa: E731
    monkeypatch.setattr("callout.app.reports.collecting.user_data_path", here)
    disk = tmp_path / "disk"
    CliRunner().invoke(app, ["collect", "--into", str(disk / "school.duckdb")])
    disk.rename(tmp_path / "away")
    found = _forget("--person", MARLA, "--yes")
    assert found.exit_code == 1
    assert "it is not there now: connect its disk, then forget again" in found.output
    (tmp_path / "away").rename(disk)
    assert _forget("--person", MARLA, "--yes").exit_code == 0
    (disk / "school.duckdb").unlink()
    assert _forget("--person", OTTO, "--yes").exit_code == 0, "one that was deleted is no matter"
