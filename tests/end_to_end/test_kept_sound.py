"""Replies kept as sound, only if asked for: what was heard, beside the journal that leads to it."""

from __future__ import annotations

import base64
import contextlib
import json
import re
import shutil
import stat
import subprocess
import wave
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from callout.app.listening.recordings import decide_all, expected_reply
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.model.verdict import Verdict
from callout.hearing.segmenter import BLOCK
from callout.hearing.wav_file import read_wav
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.test_recordings import FOLDER, LIST
from tests.forked import run_callout

pytestmark = pytest.mark.audio
SAID = ("human/off", "demo/on-1", "human/off")
"""Wrong, right, right."""


def _call(*args: object, settings: Path | None = None) -> subprocess.CompletedProcess[str]:
    import os

    told = {**os.environ, **({"CALLOUT_SETTINGS": str(settings)} if settings else {})}
    return run_callout(args, env=told)


def _fly(folder: Path, journals: Path, *more: str, settings: Path | None = None) -> str:
    replies = folder / "replies"
    replies.mkdir()
    for number, name in enumerate(SAID):
        shutil.copy(FOLDER / f"{name}.wav", replies / f"{number}.wav")
    (folder / "two.yaml").write_text(LIST)
    where = ("run", folder / "two.yaml", "--journal-dir", journals, "--engine", "embedded")
    done = _call(*where, "--replies", replies, *more, settings=settings)
    assert done.returncode == 0, done.stderr
    assert "Two items complete." in done.stdout
    return done.stdout


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The journal of a session that was asked to keep its sound."""
    folder = tmp_path_factory.mktemp("kept")
    said = _fly(folder, folder / "journals", "--keep-sound")
    assert "The sound of your replies is kept on this machine." in said
    (journal,) = (folder / "journals").glob("*.jsonl")
    return journal


def _replied(journal: Path) -> list[dict[str, object]]:
    lines = [json.loads(line) for line in journal.read_text(encoding="utf-8").splitlines()]
    assert lines[0]["about"]["sound"] == "kept"
    return [line for line in lines if line["type"] == "replied"]


def test_each_judged_reply_has_its_sound_and_nothing_else_has(kept: Path) -> None:
    folder = kept.with_suffix(".sound")
    names = {f"{reply['seq']}.wav" for reply in _replied(kept)}
    assert {path.name for path in folder.iterdir()} == names
    assert len(names) == len(SAID)
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}


def test_a_kept_sound_is_what_was_heard(kept: Path) -> None:
    """It is a piece of the recording, sample for sample, and is judged as it was."""
    for reply, name in zip(_replied(kept), SAID, strict=True):
        path = kept.with_suffix(".sound") / f"{reply['seq']}.wav"
        piece, whole = _frames(path), np.pad(read_wav(FOLDER / f"{name}.wav"), 20 * BLOCK)
        loud = np.flatnonzero(np.abs(whole.astype(int)) > 0.2 * np.abs(whole.astype(int)).max())
        at = _place(piece, whole)
        assert at <= loud[0] <= loud[-1] < at + len(piece)
        due = "on" if reply["item_id"] == "brake" else "off"
        (again,) = decide_all([path], expected_reply([due], ["off" if due == "on" else "on"]))
        assert again.judgement.verdict is Verdict(reply["verdict"])


def _frames(path: Path) -> np.ndarray:  # type: ignore[type-arg]
    with wave.open(str(path)) as file:
        return np.frombuffer(file.readframes(file.getnframes()), "<i2")


def _place(piece: np.ndarray, whole: np.ndarray) -> int:  # type: ignore[type-arg]
    """Return where ``piece`` is in ``whole``, sample for sample."""
    anchor = int(np.abs(piece.astype(int)).argmax())
    for at in np.flatnonzero(whole == piece[anchor]) - anchor:
        if at >= 0 and np.array_equal(whole[at : at + len(piece)], piece):
            return int(at)
    raise AssertionError("what was kept is not a piece of the recording")


def test_usually_nothing_is_kept_and_a_setting_keeps_it(tmp_path: Path) -> None:
    for number, text in enumerate(("", "[hearing]\nkeep_sound = true\n")):
        folder = tmp_path / str(number)
        folder.mkdir()
        settings = folder / "settings.toml"
        settings.write_text(text)
        said = _fly(folder, folder / "journals", settings=settings)
        assert ("The sound of your replies is kept" in said) == bool(text)
        found = [p for p in folder.rglob("*.wav") if p.parent.name != "replies"]
        assert bool(found) == bool(text)
        (journal,) = (folder / "journals").glob("*.jsonl")
        about = json.loads(journal.read_text().splitlines()[0])["about"]
        assert ("sound" in about) == bool(text)


def test_the_journal_leads_to_the_sound_in_the_terminal(kept: Path) -> None:
    number = _replied(kept)[0]["seq"]
    told = _call("replay", kept).stdout
    assert re.search(rf'Heard "off"\. MISMATCH.*\[sound {number}\]', told)
    slips = _call("replay", kept, "--slips").stdout
    assert f'crew said "Off."  [sound {number}]' in slips
    assert "Avionics" not in slips, "nothing went wrong there"
    missing = _call("replay", kept, "--play", 1)
    assert (missing.returncode, missing.stdout) == (2, "")
    assert "Record 1 of" in missing.stderr
    known = _call("journal", kept).stdout
    assert "Sound kept: 3 of the replies" in known
    assert json.loads(_call("journal", kept, "--json").stdout)["sounds"] == len(SAID)


def test_a_report_has_no_voice_in_it_unless_that_is_asked_for(kept: Path, tmp_path: Path) -> None:
    plain, voiced = tmp_path / "plain.html", tmp_path / "voiced.html"
    assert _call("debrief", kept, "--html", plain).returncode == 0
    assert _call("debrief", kept, "--html", voiced, "--with-sound").returncode == 0
    numbers = [reply["seq"] for reply in _replied(kept) if reply["item_id"] == "brake"]
    assert "<audio" not in plain.read_text()
    for number in numbers:
        assert f"callout replay {kept.stem} --play {number}" in plain.read_text()
    data = re.findall(r'src="data:audio/wav;base64,([^"]+)"', voiced.read_text())
    files = [(kept.with_suffix(".sound") / f"{number}.wav").read_bytes() for number in numbers]
    assert [base64.b64decode(one) for one in data] == files


@contextlib.contextmanager
def _disk(folder: Path, size: str) -> Iterator[None]:
    folder.mkdir()
    mount = shutil.which("mount")
    command = [str(mount), "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if not mount or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("needs the right to mount a file system")
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_disk_too_small_for_sound_stops_no_session(tmp_path: Path) -> None:
    with _disk(tmp_path / "disk", "48k"):
        said = _fly(tmp_path, tmp_path / "disk", "--keep-sound")
        (journal,) = (tmp_path / "disk").glob("*.jsonl")
        progress = replay_list(read_journal(journal).records)
        inside = sorted(path.name for path in journal.with_suffix(".sound").iterdir())
    assert said.count("The sound of replies is no longer kept: ") == 1
    assert progress.ending is Ending.COMPLETED
    assert len(inside) < len(SAID)
    assert all(re.fullmatch(r"\d+\.wav", name) for name in inside), "nothing half written is left"


def test_forgetting_takes_the_sound_too_and_can_take_it_alone(kept: Path, tmp_path: Path) -> None:
    """The bytes are gone: no file of the folder holds a piece of them."""
    journals = tmp_path / "journals"
    shutil.copytree(kept.parent, journals)
    here = journals / kept.name
    piece = next(iter(here.with_suffix(".sound").iterdir())).read_bytes()[2_000:2_200]
    when = ("--since", "2000-01-01", "--yes", "--journal-dir", journals)
    alone = _call("forget", *when, "--only-sound")
    assert alone.returncode == 0, alone.stderr
    assert "Removed: 3 recordings." in alone.stdout
    assert here.is_file()
    assert not here.with_suffix(".sound").exists()
    shutil.copytree(kept.with_suffix(".sound"), here.with_suffix(".sound"))
    whole = _call("forget", *when)
    assert "3 recordings, 1 journal." in whole.stdout, whole.stdout  # and reports of it, if any
    left = [path for path in journals.rglob("*") if path.is_file()]
    assert not any(piece in path.read_bytes() or kept.stem in str(path) for path in left)
