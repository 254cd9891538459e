"""Whole sessions through the command, with typed replies, against journals known to be right."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from callout.core.checklist_run.replay import replay_list
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.conftest import RIGHT
from tests.forked import run_callout

GOLDEN = Path(__file__).parent / "golden"
SCRIPTS = {
    "plain": ["on", "on", "one zero one three", "closed and locked", "flaps five", "neutral",
              "altitude"],
    "mistakes": ["off", "on", "?", "on", "one zero three one", "1013", "closed",
                 "closed and locked", "skip", "no flap motor fitted", "defer", "altitude",
                 "neutral"],
    "interrupted": ["on", "hold", "on", "continue", "on", "come back to that", "closed and locked",
                    "what is left", "flaps five", "go back", "flaps five", "neutral", "altitude",
                    "come back to that", "yes", "leave them open"],
    "stopped": ["on", "stop", "no", "stop", "yes"],
}  # fmt: skip
SEALS = ("prev", "sum")
VARYING = ("utc", "at", "seconds", "session_id", "about", "code", "reason", *SEALS)
"""What differs from run to run, and the judge's wording, which has tests of its own."""


def callout(*args: str, said: list[str] = (), **env: str) -> subprocess.CompletedProcess[str]:  # type: ignore[assignment]
    return run_callout(args, "".join(f"{line}\n" for line in said), {**os.environ, **env})


def told(path: Path) -> str:
    """Return a journal without what differs from run to run."""
    lines = []
    for line in path.read_text().splitlines():
        fields = {k: v for k, v in json.loads(line).items() if k not in VARYING}
        if "plan" in fields:
            fields["plan"] = [item["id"] for item in fields["plan"]["items"]]
        lines.append(json.dumps(fields))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_session_leaves_the_golden_journal(name: str, checklist: Path, tmp_path: Path) -> None:
    folder = tmp_path / "journals"
    done = callout("run", str(checklist), "--journal-dir", str(folder), said=SCRIPTS[name])
    assert done.returncode == 0, done.stderr
    (path,) = folder.glob("*.jsonl")
    assert str(path) in done.stdout
    golden = GOLDEN / f"{name}.jsonl"
    if os.environ.get("CALLOUT_WRITE_GOLDEN"):
        GOLDEN.mkdir(exist_ok=True)
        golden.write_text(told(path))
    assert told(path) == golden.read_text()
    assert replay_list(read_journal(path).records).ending


def test_when_the_input_ends_the_session_can_be_resumed(checklist: Path, tmp_path: Path) -> None:
    folder = str(tmp_path)
    first = callout("run", str(checklist), said=["on", "off"], CALLOUT_JOURNAL_DIR=folder)
    assert first.returncode == 0
    assert "Continue with: callout resume" in first.stdout
    rest = list(RIGHT.values())[1:]
    second = callout("resume", said=rest, CALLOUT_JOURNAL_DIR=folder)
    assert "Continuing at Fuel pump. Last completed: Beacon, on." in second.stdout
    assert "Line-up checklist complete." in second.stdout
    third = callout("resume", CALLOUT_JOURNAL_DIR=folder)
    assert third.returncode == 2
    assert "no unfinished session" in third.stderr


def test_two_sessions_at_once_do_not_mix(checklist: Path, tmp_path: Path) -> None:
    folder = tmp_path / "journals"
    command = [sys.executable, "-m", "callout", "run", str(checklist), "--journal-dir", str(folder)]
    both = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in range(2)
    ]
    for process in both:
        process.communicate("".join(f"{words}\n" for words in RIGHT.values()))
    paths = sorted(folder.glob("*.jsonl"))
    assert len(paths) == 2
    for path in paths:
        progress = replay_list(read_journal(path).records)
        assert progress.session_id == path.stem
        assert progress.ending


def test_a_running_session_cannot_be_resumed_by_another(checklist: Path, tmp_path: Path) -> None:
    folder = tmp_path / "journals"
    command = [sys.executable, "-m", "callout", "run", str(checklist), "--journal-dir", str(folder)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout
        while "Beacon?" not in running.stdout.readline():
            pass
        (path,) = folder.glob("*.jsonl")
        refused = callout("resume", str(path), "--journal-dir", str(folder))
        assert refused.returncode == 2
        assert "Another session is writing" in refused.stderr
        listed = callout("journal", "--journal-dir", str(folder))
        assert "running" in listed.stdout
        running.communicate("on\n")


def test_a_journal_is_listed_summed_up_and_told_again(checklist: Path, tmp_path: Path) -> None:
    folder = str(tmp_path / "j")
    callout("run", str(checklist), "--journal-dir", folder, said=SCRIPTS["mistakes"])
    listed = callout("journal", "--journal-dir", folder)
    assert "completed" in listed.stdout
    path = listed.stdout.split()[-1]
    summed = json.loads(callout("journal", path, "--json").stdout)
    assert summed["ending"] == "completed"
    assert summed["mismatch_count"] == 2
    assert [line["detail"] for line in summed["skipped"]] == ["no flap motor fitted"]
    again = callout("replay", path)
    assert 'Typed "one zero three one". MISMATCH' in again.stdout
    assert "Trim deferred." in again.stdout


@pytest.mark.parametrize("command", ["resume", "journal", "replay"])
def test_a_file_that_is_no_journal_is_one_plain_error(command: str, tmp_path: Path) -> None:
    (tmp_path / "x.jsonl").write_text("first\nsecond\n")
    done = callout(command, str(tmp_path / "x.jsonl"))
    assert done.returncode == 2
    assert "line 1 is damaged" in done.stderr
    missing = callout(command, str(tmp_path / "nothing.jsonl"))
    assert missing.returncode == 2
    assert "cannot be read" in missing.stderr
