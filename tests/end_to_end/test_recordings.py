"""Recordings through the live path: what is right is taken, what is not is never taken."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from callout.app.listening.recordings import decide_all, expected_reply
from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.core.model.verdict import Verdict
from tests.forked import run_callout

pytestmark = pytest.mark.audio

FOLDER = shipped_folder(RECORDINGS)
PAIRS = [("up", "down"), ("left", "right"), ("on", "off")]
NOT_A_REPLY = [*sorted((FOLDER / "sounds").glob("*.wav")), FOLDER / "human" / "coffee.wav"]
LIST = """\
callout: 1
id: two
title: Two items
phase: before-start
method: challenge-and-response
complete: two items complete
items:
  - {id: brake, challenge: Parking brake, response: on}
  - {id: avionics, challenge: Avionics master, response: off}
"""


def _human(word: str) -> Path:
    return FOLDER / "human" / f"{word}.wav"


@pytest.mark.parametrize(("due", "opposite"), [*PAIRS, *((b, a) for a, b in PAIRS)])
def test_a_word_is_taken_and_its_opposite_and_all_else_refused(due: str, opposite: str) -> None:
    files = [_human(due), _human(opposite), *NOT_A_REPLY]
    right, wrong, *others = decide_all(files, expected_reply([due], [opposite]), "embedded")
    assert (right.judgement.verdict, right.judgement.reply) == (Verdict.MATCH, due)
    assert wrong.judgement.verdict is Verdict.MISMATCH
    assert {one.judgement.verdict for one in others} == {Verdict.UNCLEAR}


def _run(folder: Path, *more: str) -> subprocess.CompletedProcess[str]:
    path = folder / "two.yaml"
    path.write_text(LIST)
    command = ["run", path, "--journal-dir", folder / "journals", "--engine", "embedded"]
    return run_callout([*command, *more])


def test_a_folder_of_recordings_answers_a_whole_list(tmp_path: Path) -> None:
    replies = tmp_path / "replies"
    replies.mkdir()
    for number, name in enumerate(["human/off", "demo/on-1", "human/off"]):
        shutil.copy(FOLDER / f"{name}.wav", replies / f"{number}.wav")
    done = _run(tmp_path, "--replies", str(replies))
    assert done.returncode == 0, done.stderr
    assert 'Mismatch. Heard "off"; this item wants "on".' in done.stdout
    assert "Two items complete." in done.stdout


def test_recordings_that_end_too_soon_leave_a_session_to_resume(tmp_path: Path) -> None:
    done = _run(tmp_path, "--replies", str(FOLDER / "demo" / "on-1.wav"))
    assert done.returncode == 0, done.stderr
    assert "sound source has ended" in done.stdout
    assert "Still to do: 1" in done.stdout
    assert "callout resume" in done.stdout


def test_recordings_that_are_not_there_are_named_before_anything_begins(tmp_path: Path) -> None:
    done = _run(tmp_path, "--replies", str(tmp_path / "gone.wav"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "gone.wav does not exist" in done.stderr
    assert not (tmp_path / "journals").exists()
