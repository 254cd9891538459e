"""Runs a module of this package in a process of its own."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path


def module_command(name: str) -> tuple[str, ...]:
    """Return the command that runs ``name``, as in "callout.speaking.voice_process".

    -P: a file of the same name in the current directory must not be loaded instead.
    """
    return (sys.executable, "-P", "-m", name)


def start_process(command: Sequence[str]) -> subprocess.Popen[str]:
    """Start ``command`` out of reach of Ctrl-C, to exchange lines of text with it.

    It finds this package. Raises OSError if the system refuses.
    """
    root = str(Path(__file__).parent.parent)
    path = os.pathsep.join(p for p in (root, os.environ.get("PYTHONPATH", "")) if p)
    return subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        encoding="utf-8",
        errors="replace",
        env={**os.environ, "PYTHONPATH": path},
        start_new_session=os.name == "posix",
        creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
    )


def end_process(process: subprocess.Popen[str]) -> None:
    """Kill a process from ``start_process`` and, on systems with process groups, its children."""
    with contextlib.suppress(OSError):
        if os.name == "posix":
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    process.wait()
    for pipe in (process.stdin, process.stdout):
        with contextlib.suppress(OSError, ValueError):
            if pipe is not None:
                pipe.close()
