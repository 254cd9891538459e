"""Starts session processes quickly: imports once, then forks a child for each requested session.

One JSON line in: {"args", "stdin", "out"}; one line out: the child's process id. With "env" the
child has that environment. A second line {"wait": pid} answers with how that child ended (negative:
the signal that killed it); {"look": pid} answers at once, with 0 while it runs and else 1.
"""

from __future__ import annotations

import importlib
import json
import os
import runpy
import subprocess
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import IO, Any

SESSIONS = tuple(f"callout.cli.{name}" for name in ("main", "run", "fly", "drill", "resume"))
ROOT = Path(__file__).parents[3]
NO_CODE = 70
"""How a child ends that broke off without an exit code."""


class Nursery:
    """Children of one interpreter that has everything imported."""

    def __init__(self, modules: Sequence[str] = SESSIONS) -> None:
        self._process = interpreter_of("callout.bench.hostile.nursery", *modules)

    def start(
        self, args: list[str], stdin: Path, out: Path, env: Mapping[str, str] | None = None
    ) -> int:
        """Start ``callout ARGS`` with files for its input and output; return its process id.

        env: its whole environment; none: that of this interpreter.
        """
        more = {"env": dict(env)} if env is not None else {}
        return self._ask({"args": args, "stdin": str(stdin), "out": str(out), **more})

    def has_ended(self, pid: int) -> bool:
        """Say whether a child has ended; it is still to be waited for."""
        return bool(self._ask({"look": pid}))

    def wait(self, pid: int) -> int:
        """Return how a child ended."""
        return self._ask({"wait": pid})

    def close(self) -> None:
        """End the interpreter."""
        end_interpreter(self._process)

    def _ask(self, request: Mapping[str, object]) -> int:
        return ask_interpreter(self._process, request)


def interpreter_of(module: str, *args: str, root: Path = ROOT) -> subprocess.Popen[str]:
    """Start an interpreter that runs ``module`` of the tree at ``root`` and answers by lines."""
    path = os.pathsep.join(p for p in (str(root), os.environ.get("PYTHONPATH", "")) if p)
    return subprocess.Popen(
        [sys.executable, "-P", "-m", module, *args],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": path},
    )


def ask_interpreter(process: subprocess.Popen[str], request: Mapping[str, object]) -> int:
    """Return its answer to one request."""
    asked = _pipe(process.stdin)
    asked.write(json.dumps(request) + "\n")
    asked.flush()
    return int(_pipe(process.stdout).readline())


def end_interpreter(process: subprocess.Popen[str]) -> None:
    """End it, and wait until it has ended."""
    _pipe(process.stdin).close()
    _pipe(process.stdout).close()
    process.wait()


def import_all(modules: Iterable[str]) -> None:
    """Import modules, and read the commands and tables that every session reads."""
    from callout.app.shared.command_tables import default_commands
    from callout.app.shared.tables import default_tables

    default_commands()
    default_tables()
    for name in modules:
        importlib.import_module(name)


def run_program(args: Iterable[object]) -> int:
    """Run ``callout ARGS`` in this process; return the exit code, 70 without one."""
    sys.argv = ["callout", *map(str, args)]
    try:
        runpy.run_module("callout", run_name="__main__")
    except SystemExit as end:
        return int(end.code or 0)
    finally:
        sys.stdout.flush()
    return NO_CODE


def _pipe(stream: IO[str] | None) -> IO[str]:
    assert stream is not None
    return stream


def _be_session(request: dict[str, Any]) -> None:
    os.dup2(os.open(str(request["stdin"]), os.O_RDONLY), 0)
    os.dup2(os.open(str(request["out"]), os.O_WRONLY | os.O_CREAT | os.O_APPEND), 1)
    os.dup2(1, 2)
    sys.stdin, sys.stdout = os.fdopen(0), os.fdopen(1, "w")
    if isinstance(env := request.get("env"), dict):
        os.environ.clear()
        os.environ.update(env)
    code = NO_CODE
    try:
        code = run_program(request["args"])
    finally:
        os._exit(code)


def _serve() -> None:
    import_all(sys.argv[1:])
    for line in sys.stdin:
        request = json.loads(line)
        if "wait" in request:
            print(os.waitstatus_to_exitcode(os.waitpid(request["wait"], 0)[1]), flush=True)
            continue
        if "look" in request:
            seen = os.waitid(os.P_PID, request["look"], os.WEXITED | os.WNOHANG | os.WNOWAIT)
            print(int(seen is not None), flush=True)
            continue
        pid = os.fork()
        if not pid:
            _be_session(request)
        print(pid, flush=True)


if __name__ == "__main__":
    _serve()
