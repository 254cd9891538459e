"""After ``callout forget`` no byte of a person is left in any kind of file the program writes."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.checklist_run.records import Began, Replied
from callout.core.model.verdict import Verdict
from callout.hearing.voices import Voice, VoiceTake, keep_voice
from callout.journal.jsonl_reader import read_journal
from callout.journal.sound_files import SoundFiles

MARLA, OTTO = "Marla Quint", "Otto Brandvold"
SOUND = b"MARLASOUND"
INSIDE = base64.b64encode(SOUND * 3)[4:24]
"""The same in a page; wherever it begins, since 10 letters shift against groups of 3."""


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tool's data folder with a year of two people."""
    data = tmp_path / "data"
    for place in ("privacy.forgetting", "reports.collecting", "reports.report_files"):
        monkeypatch.setattr(f"callout.app.{place}.user_data_path", lambda *a, **k: data)
    monkeypatch.setattr("callout.store.collection.compression_of", lambda _path: "uncompressed")
    monkeypatch.setenv("CALLOUT_MODEL_DIR", str(data / "models"))
    monkeypatch.setenv("CALLOUT_VOICES_DIR", str(data / "voices"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(data / "journals"))
    make_year(data / "journals", seed=2, sessions=6, names=(MARLA, OTTO))
    return data


def call(*words: object, said: str = "") -> Result:
    done = CliRunner().invoke(app, [*map(str, words)], input=said)
    assert done.exit_code == 0, done.output
    return done


def live(tmp_path: Path, name: str) -> None:
    """A flight with one of its lists, a drill, a wording and a voice of ``name``."""
    settings = tmp_path / "settings.toml"
    settings.write_text(f'[crew]\nname = "{name}"\n')
    said = "before start checklist\nyes\nclosed and locked\n"
    call("fly", "sandling-two", "--silent", said=said)
    call("drill", "sandling-two", "--mode", "challenge", "--silent", said="not known\nstop\n")
    call("wordings", "add", "sandling-two/before-start", "passenger-briefing", "everybody told")
    take = VoiceTake("on", np.zeros((3, 288), np.float32), np.zeros(13, np.float32))
    keep_voice(Voice(name, (take,)), tmp_path / "data" / "voices")


def of(data: Path, name: str) -> list[Path]:
    """Return the journals of sessions outside flights, oldest first."""
    found = []
    for path in sorted((data / "journals").glob("*.jsonl")):
        began = read_journal(path).records[0]
        if isinstance(began, Began) and began.about.get("crew") == name:
            found += [] if began.about.get("sector") else [path]
    return found


def slip_of(data: Path, name: str) -> tuple[Path, int]:
    """Return a journal and a wrong reply in it, of which a report holds the sound."""
    return next((path, r.seq) for path in of(data, name) for r in read_journal(path).records
                if isinstance(r, Replied) and r.verdict is Verdict.MISMATCH)  # fmt: skip


def files_in(*folders: Path) -> Iterator[tuple[Path, bytes]]:
    for folder in folders:
        for path in folder.rglob("*"):
            if path.is_file():
                yield path, str(path.relative_to(folder)).encode() + path.read_bytes()


def holding(words: list[bytes], *folders: Path) -> dict[bytes, set[str]]:
    """Return which files hold each word, in their bytes or their names, small letters or large."""
    known = [(path.name, inside.lower()) for path, inside in files_in(*folders)]
    return {word: {name for name, inside in known if word.lower() in inside} for word in words}


def test_no_kind_of_file_keeps_a_byte_of_a_forgotten_person(data: Path, tmp_path: Path) -> None:
    """Sessions, flights, drills, sign-offs, notes, wordings, voices, kept sound, collections with
    Parquet files and reports, here and elsewhere.
    """
    before = set((data / "journals").rglob("2*.jsonl"))
    live(tmp_path, MARLA)
    hers = [p.stem for p in set((data / "journals").rglob("2*.jsonl")) - before]
    assert len(hers) == 3, "a flight, its list, and a drill"
    hers += [path.stem for path in of(data, MARLA)]
    live(tmp_path, OTTO)
    latest, reply = slip_of(data, MARLA)
    assert SoundFiles().keep(latest, reply, np.frombuffer(SOUND * 900, "<i2")) == ""
    far = tmp_path / "far"
    far.mkdir()
    [flight] = [p for p in (data / "journals" / "flights").glob("*.jsonl") if p.stem in hers]
    for words in (
        ["collect", "--parquet", far / "months"],
        ["collect", "--into", far / "school.duckdb"],
        ["debrief", latest.stem, "--html", far / "d.html", "--with-sound", "--csv", far / "d.csv"],
        ["debrief", latest.stem, "--markdown", data / "journals" / "d.md", "--json-file",
         far / "d.json"],
        ["debrief", flight.stem, "--html", far / "flight.html"],
        ["trends", "--html", far / "trends.html"],
        ["trends", "--person", OTTO, "--html", far / "otto.html"],
        ["instructor", "class", data / "journals", "--html", far / "class.html"],
        ["instructor", "agree", MARLA, "Say the setting", "--by", "Ben Rook"],
        ["instructor", "sign", latest, "--by", "Ben Rook", "--trainee", MARLA],
        ["instructor", "sign", of(data, OTTO)[0], "--by", "Ben Rook", "--trainee", OTTO],
    ):  # fmt: skip
        call(*words)
    (tmp_path / "settings.toml").write_text(f'[crew]\nname = "{MARLA}"\n')
    traces = [MARLA.encode(), b"marla-quint", SOUND, INSIDE, *(stem.encode() for stem in hers)]
    planted = holding(traces, tmp_path)
    assert all(planted.values()), "each of them was there"
    assert {"register.jsonl", "school.duckdb", "flight.html", "settings.toml"} <= planted[traces[0]]
    others = {
        p: p.read_bytes() for p in (data / "journals").rglob("2*.jsonl") if p.stem not in hers
    }

    found = call("forget", "--person", MARLA, "--yes")
    for own in (data / "collection.duckdb", far / "school.duckdb"):
        assert f"Rewritten without them and checked: {own}" in found.output
    assert holding(traces, tmp_path) == {trace: set() for trace in traces}
    assert {path: path.read_bytes() for path in others} == others
    assert [path.name for path in far.glob("*.html")] == ["otto.html"], "it does not mention her"
    call("instructor", "verify")
    asked = ["query", "SELECT DISTINCT person FROM sessions ORDER BY 1", "--format", "csv", "--on"]
    for target in (data / "collection.duckdb", far / "school.duckdb", far / "months"):
        told = call(*asked, target).output
        assert MARLA not in told
        assert OTTO in told
