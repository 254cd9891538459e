"""Tries a model in a child process, and checks it against its record."""

from __future__ import annotations

import importlib.util
import json
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from callout.app.models.installed_models import InstalledModel
from callout.app.models.model_record import (
    FileMark,
    Progress,
    content_sha256,
    mark_files,
    read_record,
)
from callout.core.sentences import models as sentences
from callout.hearing.vosk_files import missing_files
from callout.hearing.vosk_trial import VoskTrial

TRIAL_SECONDS = 600
"""The largest models take minutes to load from a slow disk."""


@dataclass(frozen=True, slots=True)
class Verification:
    """Everything that a check of one model found."""

    model: InstalledModel
    files: int
    """Files whose checksum was compared."""
    content_sha256: str
    recorded: bool
    """True if checksums were stored when it was installed."""
    missing: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    trial: VoskTrial | None = None
    """None if it was not tried."""

    @property
    def good(self) -> bool:
        """Nothing missing or changed, and it loads if it was tried."""
        whole = not (self.missing or self.changed)
        return whole and (self.trial is None or self.trial.loads)


def verify_model(
    model: InstalledModel, *, trial: bool = True, progress: Progress | None = None
) -> Verification:
    """Check files and checksums, then load the model in a child process."""
    record = read_record(model.path)
    known = record.files if record else {}
    marks = mark_files(model.path, progress)
    missing, changed = _compare_files(model.path, known, marks)
    whole = not (missing or changed)
    return Verification(
        model=model,
        files=len(marks),
        content_sha256=content_sha256(marks),
        recorded=bool(known),
        missing=missing,
        changed=changed,
        added=tuple(name for name in marks if known and name not in known),
        trial=try_in_child(model.path) if trial and whole else None,
    )


def can_try() -> bool:
    """Say whether the Vosk library is installed, to try a model with."""
    return importlib.util.find_spec("vosk") is not None and bool(sys.executable)


def try_in_child(folder: Path) -> VoskTrial | None:
    """Load the model in a process where a crash does no harm; None without the library."""
    if not can_try():
        return None
    command = [sys.executable, "-m", "callout.hearing.vosk_trial", str(folder)]
    try:
        done = subprocess.run(
            command,
            capture_output=True,
            stdin=subprocess.DEVNULL,
            timeout=TRIAL_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return VoskTrial(loads=False, message=sentences.load_timed_out(TRIAL_SECONDS))
    if done.returncode:
        return VoskTrial(loads=False, message=_how_it_ended(done.returncode))
    lines = done.stdout.decode("utf-8", "replace").splitlines()
    return VoskTrial(**json.loads(lines[-1]))


def _compare_files(
    folder: Path, known: dict[str, FileMark], marks: dict[str, FileMark]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    gone = [name for name in known if name not in marks]
    missing = tuple(dict.fromkeys([*missing_files(folder), *gone]))
    changed = tuple(
        name
        for name, mark in marks.items()
        if name in known and known[name] != mark and name not in missing
    )
    return missing, changed


def _how_it_ended(code: int) -> str:
    if code == -getattr(signal, "SIGKILL", 9):
        return sentences.LOAD_KILLED
    cause = f"signal {-code}" if code < 0 else f"code {code}"
    return sentences.load_crashed(cause)
