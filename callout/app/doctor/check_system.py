"""Checks of the machine itself; each is given its name and returns a finding."""

from __future__ import annotations

import importlib.metadata
import os
import platform
import re
import shutil
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from callout.app.shared.findings import FindingState, MachineFinding
from callout.app.shared.settings import (
    JOURNAL_VARIABLE,
    Settings,
    journal_folder,
    load_settings,
    settings_path,
)
from callout.core.sentences import doctor as sentences
from callout.errors import CalloutError

_TESTED = ((3, 11), (3, 13))
_ENOUGH_BYTES = 50_000_000
_SMALLEST_SCREEN = (80, 24)


def check_python(name: str) -> MachineFinding:
    """The interpreter's version."""
    version, found = sys.version_info[:2], f"Python {platform.python_version()} on {_system_name()}"
    if version < _TESTED[0]:
        return MachineFinding(
            name,
            FindingState.MISSING,
            sentences.python_too_old(found),
            sentences.INSTALL_TESTED_PYTHON,
        )
    if version > _TESTED[1]:
        return MachineFinding(
            name,
            FindingState.CHECK,
            sentences.python_too_new(found),
            sentences.USE_NEWEST_TESTED_PYTHON,
        )
    return MachineFinding(name, FindingState.READY, found)


def _system_name() -> str:
    return f"{platform.system()} {platform.machine()}"


def check_packages(name: str) -> MachineFinding:
    """What the project always needs."""
    there: list[str] = []
    missing: list[str] = []
    for package in _needed_packages():
        try:
            there.append(f"{package} {importlib.metadata.version(package)}")
        except importlib.metadata.PackageNotFoundError:
            missing.append(package)
    if missing:
        fix = f"pip install {' '.join(missing)}"
        return MachineFinding(
            name, FindingState.MISSING, sentences.packages_missing(", ".join(missing)), fix
        )
    return MachineFinding(name, FindingState.READY, ", ".join(there))


def _needed_packages() -> Iterable[str]:
    """Yield the packages that are always needed; platform-specific ones have checks of their
    own.
    """
    for requirement in importlib.metadata.requires("callout") or ():
        if ";" not in requirement:
            yield re.split(r"[^A-Za-z0-9._-]", requirement, maxsplit=1)[0]


def check_settings(name: str) -> MachineFinding:
    """Whether the settings file can be read."""
    path = settings_path()
    load_settings()
    message = str(path) if path.exists() else sentences.using_defaults(path)
    return MachineFinding(name, FindingState.READY, message)


def check_journal(name: str) -> MachineFinding:
    """Whether journals can be written, and the free space."""
    folder = _chosen_folder()
    standing = next(p for p in (folder, *folder.parents) if p.exists())
    try:
        with tempfile.TemporaryFile(dir=standing) as trial:
            trial.write(b"callout")
            trial.flush()
            os.fsync(trial.fileno())
    except OSError as error:
        message = sentences.cannot_write_journal(standing, error.strerror)
        return MachineFinding(
            name, FindingState.MISSING, message, sentences.set_journal_folder(JOURNAL_VARIABLE)
        )
    return _check_space(name, folder, standing)


def _chosen_folder() -> Path:
    try:
        settings = load_settings()
    except CalloutError:
        settings = Settings()  # the settings have a check of their own
    return journal_folder(None, settings).absolute()


def _check_space(name: str, folder: Path, standing: Path) -> MachineFinding:
    free = shutil.disk_usage(standing).free
    message = f"{folder}, {free / 1e9:.1f} GB free"
    if free < _ENOUGH_BYTES:
        fix = sentences.free_space_or_set_folder(JOURNAL_VARIABLE)
        return MachineFinding(name, FindingState.CHECK, message, fix)
    return MachineFinding(name, FindingState.READY, message)


def check_terminal(name: str) -> MachineFinding:
    """Size and character set of the screen."""
    if not sys.stdout.isatty():
        return MachineFinding(name, FindingState.READY, sentences.OUTPUT_NOT_A_TERMINAL)
    columns, rows = shutil.get_terminal_size()
    message = f"{columns}x{rows}, {sys.stdout.encoding}"
    if columns < _SMALLEST_SCREEN[0] or rows < _SMALLEST_SCREEN[1]:
        return MachineFinding(name, FindingState.CHECK, message, sentences.WINDOW_TOO_SMALL)
    if "utf" not in sys.stdout.encoding.lower():
        return MachineFinding(name, FindingState.CHECK, message, sentences.LETTERS_NOT_SHOWN)
    return MachineFinding(name, FindingState.READY, message)
