"""Commands whose output, input or terminal goes away: an exit code, never a traceback."""

from __future__ import annotations

import os
import pty
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import line_of
from tests.core.session_kit import Desk

CALLOUT = [sys.executable, "-m", "callout"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("journals")
    desk = Desk().start().say("off").say("on").say("stop").say("yes")
    lines = b"".join(line_of(record) for record in desk.records)
    (folder / "20310504T060000Z-before-start-abc123.jsonl").write_bytes(lines)
    return folder


COMMANDS = {
    "list": ["list"],
    "journal": ["journal"],
    "debrief": ["debrief", "--plain"],
    "judge": ["judge", "--expect", "on", "off"],
    "show": ["show"],
    "help": ["--help"],
    "query": ["query", "--columns"],
}


def _args(name: str, folder: Path) -> list[str]:
    args = COMMANDS[name]
    if name == "show":
        return ["show", str(sorted(Path("checklists").rglob("before-start.yaml"))[0])]
    return [*args, "--journal-dir", str(folder)] if name in ("journal", "debrief") else args


@pytest.mark.parametrize("name", COMMANDS)
def test_closed_and_full_output_are_one_sentence(name: str, folder: Path) -> None:
    for redirect, said in ((">&-", "bad file descriptor"), (">/dev/full", "no space left")):
        args = [*CALLOUT, *_args(name, folder)]
        done = subprocess.run(
            ["sh", "-c", f'exec "$@" {redirect}', "sh", *args],
            stderr=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 2, done.stderr
        assert f"The output cannot be written: {said}" in done.stderr
        assert "Traceback" not in done.stderr


@pytest.mark.parametrize("name", ["list", "debrief"])
def test_a_reader_that_leaves_is_no_mistake(name: str, folder: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    with subprocess.Popen(
        [*CALLOUT, *_args(name, folder)], stdout=write, stderr=subprocess.PIPE, text=True
    ) as process:
        os.close(write)
        _, errors = process.communicate(timeout=600)
    assert process.returncode == 141
    assert errors == ""


def test_a_session_with_everything_closed_ends_and_can_be_resumed(
    checklist: Path, tmp_path: Path
) -> None:
    """Files opened by the session must not take the places of the streams."""
    args = [*CALLOUT, "run", str(checklist), "--journal-dir", str(tmp_path / "j"), "--silent"]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" <&- >&- 2>&-', "sh", *args, "--hearing", "keyboard"],
        check=False, timeout=600,
    )  # fmt: skip
    assert done.returncode == 0
    (path,) = (tmp_path / "j").glob("*.jsonl")
    records = read_journal(path).records
    assert type(records[-1]).__name__ == "Suspended"


def _in_terminal(args: list[str]) -> tuple[int, int]:
    pid, master = pty.fork()
    if not pid:
        os.environ["TERM"] = "xterm"
        signal.signal(signal.SIGHUP, signal.SIG_DFL)  # whoever runs the tests may ignore it
        os.execv(args[0], args)
    return pid, master


def _until(master: int, text: str) -> str:
    found = ""
    for _ in range(2_000):
        found += os.read(master, 65_536).decode("utf-8", "replace")
        if text in re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", found):
            return found
    raise AssertionError(found)


@pytest.mark.parametrize("plain", [True, False])
def test_a_terminal_that_hangs_up_leaves_a_session_to_resume(
    checklist: Path, tmp_path: Path, plain: bool
) -> None:
    errors = tmp_path / "errors"
    args = ["run", str(checklist), "--journal-dir", str(tmp_path / "j"), "--silent"]
    args += ["--plain"] if plain else []
    command = " ".join(f"'{arg}'" for arg in [*CALLOUT, *args, "--hearing", "keyboard"])
    pid, master = _in_terminal(["/bin/sh", "-c", f"exec {command} 2>'{errors}'"])
    _until(master, "0/" if not plain else "Beacon?")
    os.close(master)
    _, status = os.waitpid(pid, 0)
    assert os.waitstatus_to_exitcode(status) in (0, 129, -signal.SIGHUP)
    assert "Traceback" not in errors.read_text()
    (path,) = (tmp_path / "j").glob("*.jsonl")
    assert type(read_journal(path).records[-1]).__name__ == "Suspended"


def heed_ctrl_c() -> None:
    """Let Ctrl-C end a process, also where the tests run in the background and ignore it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_ctrl_c_ends_a_command_with_130(tmp_path: Path) -> None:
    with subprocess.Popen(
        [*CALLOUT, "judge", "--batch", "-"],
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=heed_ctrl_c,
    ) as process:
        assert process.stdin
        process.stdin.write("{")
        process.stdin.flush()
        time.sleep(3)
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=300)
    assert process.returncode == 130
    assert "Traceback" not in errors


def test_a_fault_of_the_program_is_one_sentence() -> None:
    code = (
        "import callout.cli.journal as j; j.journal_folder = lambda *a: 1/0;"
        "import sys; sys.argv = ['callout', 'journal'];"
        "from callout.cli.main import main; main()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 70
    assert "Something went wrong inside callout: ZeroDivisionError" in done.stderr
    assert "Traceback" not in done.stderr
