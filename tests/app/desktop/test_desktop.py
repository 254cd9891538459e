"""Shortcuts, completion, and where data lie, in a home of the test's own."""

from __future__ import annotations

import configparser
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.desktop.completing import SHELLS, completion_place
from callout.app.desktop.shortcuts import linux_text, mac_text, usual_shortcuts, windows_text
from callout.cli.main import app

ODD = ('/home/a b/$x `y` "q" 100%/callout',)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home with a desktop and nothing else."""
    (tmp_path / "Desktop").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_DESKTOP_DIR"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.mark.skipif(sys.platform != "linux", reason="the desktop entry of Linux")
def test_a_shortcut_is_written_kept_and_removed(home: Path) -> None:
    made = CliRunner().invoke(app, ["shortcut"])
    assert made.exit_code == 0, made.output
    files = [home / "Desktop/callout.desktop", home / ".local/share/applications/callout.desktop"]
    for path in files:
        assert stat.S_IMODE(path.stat().st_mode) == 0o755
    files[0].write_text("mine")
    assert "already exists" in CliRunner().invoke(app, ["shortcut"]).output
    assert files[0].read_text() == "mine"
    gone = CliRunner().invoke(app, ["shortcut", "--remove"])
    assert "There is no shortcut" in gone.output
    assert files[0].exists()
    assert not files[1].exists()


def test_without_a_desktop_one_is_told_what_to_do(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["shortcut", "--into", str(tmp_path / "gone")])
    assert result.exception is not None
    assert "does not exist" in str(result.exception)


def test_the_desktop_entry_says_what_the_specification_wants() -> None:
    # Desktop Entry Specification 1.5: keys, and quoting of Exec ("The Exec key")
    entry = configparser.RawConfigParser(strict=True)
    entry.optionxform = str  # type: ignore[method-assign,assignment]
    entry.read_string(linux_text(ODD))
    section = entry["Desktop Entry"]
    assert section["Type"] == "Application"
    unescaped = section["Exec"].replace("%%", "%").replace("\\\\", "\\")
    # A shell takes the same four marks out of double quotes as the specification does.
    script = f"printf '%s\\n' {unescaped}"
    told = subprocess.run(["sh", "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.splitlines() == [*ODD, "page"]


def test_the_mac_file_runs_the_words_as_they_are(tmp_path: Path) -> None:
    program = tmp_path / "a b $x 'q' callout"
    program.write_text('#!/bin/sh\necho "got $1"\n')
    program.chmod(0o755)
    script = tmp_path / "x.command"
    script.write_text(mac_text((str(program),)))
    told = subprocess.run(["sh", str(script)], capture_output=True, text=True, check=True)
    assert told.stdout == "got page\n"


def test_the_windows_file_has_its_line_ends_and_no_variables() -> None:
    text = windows_text(("C:\\a b\\100%x%\\callout.exe",))
    assert text.endswith('"C:\\a b\\100%%x%%\\callout.exe" page\r\n')
    (shortcut,) = usual_shortcuts(Path("d"), "win32", ("callout",))
    assert shortcut.path.name == "Callout checklists.cmd"
    assert usual_shortcuts(Path("d"), "darwin", ("callout",))[0].path.suffix == ".command"


@pytest.mark.parametrize("shell", SHELLS)
def test_completion_is_written_where_the_shell_looks(home: Path, shell: str) -> None:
    result = CliRunner().invoke(app, ["completion", shell])
    assert result.exit_code == 0, result.output
    path = completion_place(shell)
    assert path.is_relative_to(home)
    assert "_CALLOUT_COMPLETE" in path.read_text()


def test_completion_names_the_commands() -> None:
    environment = {**os.environ, "_CALLOUT_COMPLETE": "bash_complete", "COMP_WORDS": "callout sh",
                   "COMP_CWORD": "1"}  # fmt: skip
    code = "from callout.cli.main import app; app(prog_name='callout')"
    told = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert {"plain,shortcut", "plain,show"} <= set(told.stdout.split())


def test_an_unknown_shell_is_one_sentence() -> None:
    result = CliRunner().invoke(app, ["completion", "tcsh"])
    assert "cannot complete" in str(result.exception)


def test_doctor_says_where_data_lie(home: Path) -> None:
    result = CliRunner().invoke(app, ["doctor", "--places"])
    assert result.exit_code == 0, result.output
    for what in ("settings", "lists", "journals", "models", "To upgrade", "To uninstall"):
        assert what in result.output
