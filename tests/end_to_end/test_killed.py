"""A real session process, killed without warning at random moments, loses nothing."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from callout.bench.hostile.nursery import Nursery
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.records import Replied
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.model.verdict import Verdict
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.conftest import RIGHT

KILLS = int(os.environ.get("CALLOUT_KILLS", "36"))
"""How many sessions are killed; hundreds before a release."""
SESSION_S = 0.1
"""About how long the scripted session takes when nobody kills it."""


def replies(progress: Progress | None) -> str:
    """Return what a person would say from here on, with a mistake and two controls on the way."""
    lines = []
    ids = (
        list(RIGHT)
        if progress is None
        else [progress.plan.items[n].id for n in progress.open_items]
    )
    held = progress is not None and progress.held
    lines += ["continue"] if held else []
    for item_id in ids:
        lines += ["hold", "what is left", "continue"] if item_id == "doors" else []
        lines += ["off"] if item_id == "pump" else []
        lines += ["skip, inoperative"] if item_id == "trim" else [RIGHT.get(item_id, "on")]
    return "".join(f"{line}\n" for line in lines)


def wait_for_more(screen: Path) -> None:
    """Wait until the session shows something (or is over)."""
    size = screen.stat().st_size if screen.exists() else 0
    for _ in range(2_000):
        if screen.exists() and screen.stat().st_size > size:
            return
        time.sleep(0.0005)


def journal_of(folder: Path) -> Path | None:
    return next(iter(sorted(folder.glob("*.jsonl"))), None)


def shown_is_kept(screen: str, path: Path) -> None:
    """Whatever the screen told is on the disk."""
    kept = [x for x in read_journal(path).records if isinstance(x, Replied)]
    matches = sum(x.verdict is Verdict.MATCH for x in kept)
    mismatches = sum(x.verdict is Verdict.MISMATCH for x in kept)
    assert screen.count("Right: ") <= matches
    assert screen.count("Mismatch. ") <= mismatches


@pytest.mark.parametrize("round_", range(6))
def test_killed_at_random_moments_it_goes_on_at_the_exact_item(
    nursery: Nursery, checklist: Path, tmp_path: Path, round_: int
) -> None:
    chance = random.Random(round_)
    folder, script, screen = tmp_path / "journals", tmp_path / "replies", tmp_path / "screen"
    options = ["--journal-dir", str(folder), "--plain", "--silent"]
    killed = sessions = 0
    before = b""
    while killed < KILLS // 6:
        path = journal_of(folder)
        found = read_journal(path) if path else None
        started = bool(found and found.records)
        progress = replay_list(found.records) if found and started else None
        if progress and progress.ending:
            path.unlink()  # type: ignore[union-attr]
            sessions += 1
            before, screen = b"", tmp_path / f"screen{sessions}"
            continue
        if path and not started:
            path.unlink()
        script.write_text(replies(progress))
        args = ["resume"] if progress else ["run", str(checklist)]
        pid = nursery.start([*args, *options], script, screen)
        at_birth = chance.random() < 0.1
        if not at_birth:
            wait_for_more(screen)
        time.sleep(chance.uniform(0.0, SESSION_S))
        os.kill(pid, signal.SIGKILL)
        killed += nursery.wait(pid) == -signal.SIGKILL
        path = journal_of(folder)
        if path is None:
            continue
        now = path.read_bytes()
        whole = before[: before.rfind(b"\n") + 1]
        assert now.startswith(whole), "what was kept has changed"
        before = now
        shown_is_kept(screen.read_text(), path)
    finish(nursery, checklist, folder, script, tmp_path / "last")


def finish(nursery: Nursery, checklist: Path, folder: Path, script: Path, screen: Path) -> None:
    """Resume without a kill: the first challenge is the exact item, the end is right."""
    path = journal_of(folder)
    options = ["--journal-dir", str(folder), "--plain", "--silent"]
    progress = replay_list(read_journal(path).records) if path else None
    args = ["resume"] if progress and progress.session_id else ["run", str(checklist)]
    if progress and progress.ending:
        return
    if path and progress and not progress.session_id:
        path.unlink()  # killed before its first record, as in the rounds before
        progress = None
    script.write_text(replies(progress))
    pid = nursery.start([*args, *options], script, screen)
    assert nursery.wait(pid) == 0
    text = screen.read_text()
    if progress and progress.item:
        first = re.search(r"^\[\d+/\d+\] (.*?)\?", text, re.MULTILINE)
        assert first
        if not progress.held and not progress.question:
            assert first[1] == progress.item.challenge
    path = journal_of(folder)
    assert path
    final = replay_list(read_journal(path).records)
    assert final.ending is Ending.COMPLETED
    outcomes = {p.id: i.outcome for p, i in zip(final.plan.items, final.items, strict=True)}
    assert outcomes.pop("ice") is ItemOutcome.NOT_APPLICABLE
    assert outcomes.pop("trim") is ItemOutcome.SKIPPED
    assert set(outcomes.values()) == {ItemOutcome.ANSWERED}
    if progress:
        for was, now in zip(progress.items, final.items, strict=True):
            assert was.outcome in (None, now.outcome)
            assert was.mismatches <= now.mismatches


def test_the_installed_command_killed_once(checklist: Path, tmp_path: Path) -> None:
    """The same with a fresh interpreter and a live pipe."""
    command = [sys.executable, "-m", "callout"]
    options = ["--journal-dir", str(tmp_path / "j"), "--plain", "--silent"]
    with subprocess.Popen(
        [*command, "run", str(checklist), *options],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as process:  # fmt: skip
        assert process.stdin
        assert process.stdout
        process.stdin.write("on\non\n")
        process.stdin.flush()
        for line in process.stdout:
            if "Altimeter?" in line:
                break
        process.kill()
        process.wait()
    done = subprocess.run(
        [*command, "resume", *options],
        input="one zero one three\nclosed and locked\nflaps five\nneutral\naltitude\n",
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert "Continuing at Altimeter. Last completed: Fuel pump, on." in done.stdout
    assert "Answered right first time: 7 of 7" in done.stdout
