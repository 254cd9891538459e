"""A file that opens the page on a double click, with one text for each platform."""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_desktop_path

from callout.core.sentences import desktop as say
from callout.errors import CalloutError
from callout.outlet import save_text

_COMMAND = "page"


@dataclass(frozen=True, slots=True)
class Shortcut:
    """A file to write, and its permissions."""

    path: Path
    text: str
    runs: bool = True
    """Whether it must be marked executable, on platforms with such a mark."""


def usual_shortcuts(
    folder: Path | None = None, platform: str = sys.platform, program: tuple[str, ...] = ()
) -> list[Shortcut]:
    """Return the shortcuts for a platform: on the desktop, and on Linux also in the menu.

    folder: where to put it instead of the desktop. program: what runs callout.
    """
    run = program or program_words()
    place = folder or user_desktop_path()
    if platform == "win32":
        return [Shortcut(place / f"{say.SHORTCUT_NAME}.cmd", windows_text(run))]
    if platform == "darwin":
        return [Shortcut(place / f"{say.SHORTCUT_NAME}.command", mac_text(run))]
    text = linux_text(run)
    made = [Shortcut(place / "callout.desktop", text)]
    if folder is None:
        made.append(Shortcut(_menu_folder() / "callout.desktop", text))
    return made


def program_words() -> tuple[str, ...]:
    """Return the command that runs callout: its own program, or this interpreter."""
    beside = Path(sys.executable).parent / ("callout.exe" if os.name == "nt" else "callout")
    found = str(beside) if beside.is_file() else shutil.which("callout")
    return (found,) if found else (sys.executable, "-m", "callout")


def linux_text(run: tuple[str, ...]) -> str:
    """Return a desktop entry (Desktop Entry Specification 1.5)."""
    words = " ".join(map(_entry_word, (*run, _COMMAND)))
    return (
        "[Desktop Entry]\nType=Application\nVersion=1.5\n"
        f"Name={say.SHORTCUT_NAME}\nComment={say.SHORTCUT_ABOUT}\n"
        f"Exec={words}\nTerminal=true\nCategories=Education;\n"
    )


def _entry_word(word: str) -> str:
    """Return a word of ``Exec``: quoted, then escaped like any text in the file."""
    for mark in ("\\", '"', "`", "$"):
        word = word.replace(mark, f"\\{mark}")
    return f'"{word}"'.replace("\\", "\\\\").replace("%", "%%")


def windows_text(run: tuple[str, ...]) -> str:
    """Return a batch file; a per cent sign would start a variable."""
    words = " ".join('"' + word.replace("%", "%%") + '"' for word in run)
    return f"@echo off\r\nchcp 65001 >nul\r\n{words} {_COMMAND}\r\n"


def mac_text(run: tuple[str, ...]) -> str:
    """Return a file that the Finder runs in a terminal."""
    return f"#!/bin/sh\nexec {shlex.join((*run, _COMMAND))}\n"


def write_shortcut(shortcut: Shortcut, replace: bool = False) -> bool:
    """Write a shortcut; return False if a file of that name exists, which is kept.

    Raises CalloutError if its folder does not exist.
    """
    path = shortcut.path
    if path.exists() and not replace:
        return False
    if not path.parent.is_dir():
        if path.parent != _menu_folder():
            raise CalloutError(say.no_folder(path.parent), say.MAKE_IT_BY_HAND)
        path.parent.mkdir(parents=True, exist_ok=True)
    save_text(path, shortcut.text, as_it_is=True)
    if os.name == "posix":
        path.chmod(0o755)
    return True


def remove_shortcut(shortcut: Shortcut) -> bool:
    """Remove one of our shortcuts; return False if there is none, or it is another program's
    file.
    """
    path = shortcut.path
    if not path.is_file() or _COMMAND not in path.read_text("utf-8", "replace"):
        return False
    path.unlink()
    return True


def _menu_folder() -> Path:
    data = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(data) / "applications"
