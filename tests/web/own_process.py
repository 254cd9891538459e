"""The program in a process of its own, typed to and read.

Where processes can be forked it is a child of one interpreter that has everything imported, so that
a test does not wait for a second of imports; a test that asks for it, and other platforms, start
``python -m callout`` anew.
"""

from __future__ import annotations

import atexit
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import IO, Protocol

from callout.bench.hostile.nursery import SESSIONS, Nursery

PAGES = (
    *SESSIONS, "callout.cli.page", "callout.app.page.opening", "callout.terminal.report",
    "callout.web.server", "callout.app.running.glancing", "callout.app.running.wiring",
)  # fmt: skip
"""What is imported before: commands, and what they import once they are called."""


class _Process(Protocol):
    def poll(self) -> bool: ...
    def send_signal(self, number: int) -> None: ...
    def wait(self) -> None: ...


class Program:
    """``callout ARGS``. fresh: start an interpreter of its own."""

    def __init__(self, args: list[str], env: Mapping[str, str], *, fresh: bool = False) -> None:
        folder = Path(tempfile.mkdtemp(prefix="callout-program-"))
        self._out = folder / "out"
        if fresh or not hasattr(os, "fork"):
            started = _Started(args, env, self._out)
            self._process: _Process = started
            self._stdin: IO[str] = started.stdin
        else:
            forked = _Forked(args, env, folder, self._out)
            self._process = forked
            self._stdin = forked.stdin

    @property
    def text(self) -> str:
        """Everything it has printed so far."""
        return self._out.read_text(encoding="utf-8", errors="replace")

    def type(self, line: str) -> None:
        self._stdin.write(f"{line}\n")
        self._stdin.flush()

    def has_ended(self) -> bool:
        return self._process.poll()

    def send_signal(self, number: int) -> None:
        self._process.send_signal(number)

    def kill(self) -> None:
        """End it as a power cut does."""
        if not self.has_ended():
            self._process.send_signal(signal.SIGKILL if os.name == "posix" else signal.SIGTERM)
        self._process.wait()
        try:
            self._stdin.close()
        except OSError:
            return  # what was typed last has nobody to read it


class _Started:
    """An interpreter of its own."""

    def __init__(self, args: list[str], env: Mapping[str, str], out: Path) -> None:
        with out.open("wb") as stream:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "callout", *args],
                stdin=subprocess.PIPE,
                stdout=stream,
                stderr=subprocess.STDOUT,
                text=True,
                env=dict(env),
            )
        assert self._process.stdin
        self.stdin: IO[str] = self._process.stdin

    def poll(self) -> bool:
        return self._process.poll() is not None

    def send_signal(self, number: int) -> None:
        self._process.send_signal(number)

    def wait(self) -> None:
        self._process.wait()


class _Forked:
    """A child of the interpreter that has everything imported."""

    def __init__(self, args: list[str], env: Mapping[str, str], folder: Path, out: Path) -> None:
        typed = folder / "typed"
        os.mkfifo(typed)
        self._nursery = _nursery()
        self._pid = self._nursery.start(args, typed, out, env)
        self._over = False
        self.stdin: IO[str] = typed.open("w", encoding="utf-8")
        while not out.exists():
            time.sleep(0.005)

    def poll(self) -> bool:
        return self._over or self._nursery.has_ended(self._pid)

    def send_signal(self, number: int) -> None:
        os.kill(self._pid, number)

    def wait(self) -> None:
        if not self._over:
            self._nursery.wait(self._pid)
        self._over = True


@cache
def _nursery() -> Nursery:
    made = Nursery(PAGES)
    atexit.register(made.close)
    return made
