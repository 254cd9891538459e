"""A live session: a voice, a microphone that hears a room, and someone who replies in it."""

from __future__ import annotations

import queue
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.summary import summarise_list
from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict
from callout.hearing.wav_file import read_wav
from callout.journal.jsonl_reader import read_journal
from tests.sound_server import SoundServer, usable

pytestmark = [
    pytest.mark.audio,
    pytest.mark.skipif(not usable(), reason="PulseAudio with its ALSA plugin is needed"),
]

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
REPLIES = {"[1/2]": ["human/off", "demo/on-1"], "[2/2]": ["human/off"]}
AGAIN_S = 4.0
"""A person who is not answered says it again."""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[SoundServer]:
    folder = tmp_path / "server"
    folder.mkdir()
    made = SoundServer(folder)
    made.start()
    yield made
    made.stop()


def _raw(name: str, folder: Path) -> Path:
    path = folder / f"{name.replace('/', '-')}.raw"
    path.write_bytes(read_wav(shipped_folder(RECORDINGS) / f"{name}.wav").tobytes())
    return path


def _lines(session: subprocess.Popen[str]) -> queue.Queue[str]:
    found: queue.Queue[str] = queue.Queue()

    def read() -> None:
        assert session.stdout
        for line in session.stdout:
            found.put(line.rstrip())
        found.put("[end]")

    threading.Thread(target=read, daemon=True).start()
    return found


def _answer(lines: queue.Queue[str], server: SoundServer, folder: Path) -> list[str]:
    """Reply to each challenge until the session ends; return all it printed."""
    told: list[str] = []
    saying: Path | None = None
    for _ in range(200):
        try:
            told.append(lines.get(timeout=AGAIN_S))
        except queue.Empty:
            if saying:
                server.play_into_room(saying, 16_000).wait()
            continue
        if told[-1] == "[end]":
            break
        if told[-1][:5] in REPLIES:
            left = REPLIES[told[-1][:5]]
            times = sum(line[:5] == told[-1][:5] for line in told)
            saying = _raw(left[min(times, len(left)) - 1], folder)
    return told


def test_a_list_is_run_by_voice(server: SoundServer, tmp_path: Path) -> None:
    (tmp_path / "two.yaml").write_text(LIST)
    journals = tmp_path / "journals"
    command = [sys.executable, "-m", "callout", "run", str(tmp_path / "two.yaml"), "--plain"]
    options = ["--hearing", "microphone", "--microphone", "room", "--engine", "embedded", "--voice"]
    with subprocess.Popen(
        [*command, *options, "--journal-dir", str(journals)],
        env={**server.environment, "PYTHONUNBUFFERED": "1"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as session:
        told = _answer(_lines(session), server, tmp_path)
        session.kill()
    text = "\n".join(told)
    assert "Two items complete." in text, text
    [journal] = journals.glob("*.jsonl")
    records = read_journal(journal).records
    replied = [x for x in records if isinstance(x, r.Replied)]
    assert {x.utterance.source for x in replied} == {ReplySource.VOICE}
    brake = [x.verdict for x in replied if x.item_id == "brake"]
    assert brake[0] is Verdict.MISMATCH
    assert brake[-1] is Verdict.MATCH
    assert summarise_list(replay_list(records)).left_open == ()
