"""How long after starting the program its first challenge is heard; needs a speaker."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

LIST = "before-start"
PATIENCE_S = 20

_CHILD = """
import os, sys, time
began, place = float(sys.argv.pop(1)), sys.argv.pop(1)
from callout.speaking import outlets
plays = outlets.StreamOutlet._callback
def callback(self, frames, count, when, status):
    plays(self, frames, count, when, status)
    if self.began:
        late = self.began - time.monotonic()
        with open(place, "w") as file:
            file.write(str(time.time() - began + late))
        os._exit(0)
outlets.StreamOutlet._callback = callback
from callout.cli.main import app
app(prog_name="callout")
"""


def seconds_to_first_sound(runs: int) -> Iterator[float]:
    """Yield the seconds from starting the program to the first sound of the first challenge.

    The latency that the device's driver tells is included. Yields nothing without a terminal's
    library (Windows) or a speaker.
    """
    for _ in range(runs):
        with tempfile.TemporaryDirectory() as folder:
            if (found := _once(folder)) is not None:
                yield found


def first_heard_line(seconds: list[float]) -> str:
    """Return the result in one line."""
    if not seconds:
        return "first challenge heard: not measured, no speaker is there"
    return (
        f"first challenge heard {median(seconds):.2f} s after starting the program"
        f" (median of {len(seconds)}, {min(seconds):.2f} to {max(seconds):.2f})"
    )


def _once(folder: str) -> float | None:
    try:
        import pty
    except ImportError:
        return None
    ours, theirs = pty.openpty()
    told_at = Path(folder) / "heard"
    command = [sys.executable, "-c", _CHILD, str(time.time()), str(told_at)]
    child = subprocess.Popen(
        [*command, "run", LIST, "--journal-dir", folder],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env={**os.environ, "TERM": "xterm"},
    )
    os.close(theirs)
    threading.Thread(target=_read_all, args=(ours,), daemon=True).start()
    try:
        child.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait()
    return float(told_at.read_text()) if told_at.exists() else None


def _read_all(terminal: int) -> None:
    """Read what a program shows, so that it need not wait; ends with the program."""
    try:
        while os.read(terminal, 4096):
            pass
    except OSError:
        os.close(terminal)
