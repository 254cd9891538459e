"""``callout ARGS`` run to its end in a process of its own that need not import everything.

Where processes can be forked it is a child of one interpreter that has everything imported; other
platforms start ``python -m callout``. How likely phrases are on mere noise, which every process
works out for itself, is passed on to later children, as it is from one session of a process to the
next. Tests of the start, of the end and of what is sent start an interpreter of their own.
"""

from __future__ import annotations

import atexit
import json
import os
import pickle
import signal
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from callout.bench.hostile.nursery import (
    NO_CODE,
    SESSIONS,
    ask_interpreter,
    end_interpreter,
    import_all,
    interpreter_of,
    run_program,
)

IMPORTED = (
    *SESSIONS, "callout.app.listening.engines", "callout.app.listening.recordings",
    "callout.app.running.wiring", "callout.hearing.embedded.recogniser",
    "callout.hearing.second_opinion.asking", "callout.terminal.plain",
)  # fmt: skip
LONGEST_S = 600
_NOISE = "callout.hearing.embedded.noise_rooms"

Done = subprocess.CompletedProcess[str]


def run_callout(
    args: Sequence[object],
    said: str = "",
    env: Mapping[str, str] = os.environ,
    folder: Path | None = None,
) -> Done:
    """Return how ``callout ARGS`` ended, and what it printed.

    said: what is typed to it; folder: where it runs, instead of here.
    """
    words = [str(arg) for arg in args]
    if hasattr(os, "fork"):
        return _interpreter().run(words, said, env, folder or Path.cwd())
    return subprocess.run(
        [sys.executable, "-m", "callout", *words],
        input=said, capture_output=True, text=True, check=False, env=dict(env), timeout=LONGEST_S,
        cwd=folder,
    )  # fmt: skip


class _Interpreter:
    """Has everything imported and forks."""

    def __init__(self) -> None:
        self._process = interpreter_of("tests.forked", root=Path(__file__).parents[1])
        self._folder = Path(tempfile.mkdtemp(prefix="callout-forked-"))

    def run(self, args: list[str], said: str, env: Mapping[str, str], folder: Path) -> Done:
        typed, out, err = (self._folder / name for name in ("typed", "out", "err"))
        typed.write_text(said, encoding="utf-8")
        streams = [str(path) for path in (typed, out, err)]
        request = {"args": args, "streams": streams, "env": dict(env), "folder": str(folder)}
        code = ask_interpreter(self._process, request)
        return Done(args, code, out.read_text("utf-8"), err.read_text("utf-8"))

    def close(self) -> None:
        end_interpreter(self._process)


@cache
def _interpreter() -> _Interpreter:
    made = _Interpreter()
    atexit.register(made.close)
    return made


def _be_program(request: dict[str, Any], known: Path) -> None:
    typed, *written = request["streams"]
    os.dup2(os.open(typed, os.O_RDONLY), 0)
    for number, path in enumerate(written, 1):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), number)
    sys.stdin, sys.stdout = os.fdopen(0), os.fdopen(1, "w", encoding="utf-8")
    os.environ.clear()
    os.environ.update(request["env"])
    os.chdir(request["folder"])
    signal.alarm(LONGEST_S)
    code = NO_CODE
    try:
        code = run_program(request["args"])
    finally:
        known.write_bytes(pickle.dumps(_known_on_noise()))
        os._exit(code)


def _known_on_noise() -> dict[Any, Any]:
    known: dict[Any, Any] = sys.modules[_NOISE].__dict__["_known"]
    return known


def _serve() -> None:
    import_all((*IMPORTED, _NOISE))
    with tempfile.TemporaryDirectory(prefix="callout-known-") as folder:
        known = Path(folder) / "known"
        for line in sys.stdin:
            if not (pid := os.fork()):
                _be_program(json.loads(line), known)
            print(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), flush=True)
            if known.exists():
                _known_on_noise().update(pickle.loads(known.read_bytes()))
                known.unlink()


if __name__ == "__main__":
    _serve()
