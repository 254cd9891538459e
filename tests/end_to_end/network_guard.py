"""A watched run: what a program and its children connect to, look up and write."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

HOOK = """
import os, sys
_NOTES = os.environ["CALLOUT_WATCHED"]
_SENT = {"socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.gethostbyname"}
_LOCAL = {"127.0.0.1", "::1", "localhost", None, ""}
def _note(line, flags=os.O_CREAT | os.O_APPEND | os.O_WRONLY):
    fd = os.open(_NOTES, flags)
    os.write(fd, (line.replace("\\\\n", " ") + "\\n").encode("utf-8", "replace"))
    os.close(fd)
def _hook(event, args):
    if event in _SENT:
        where = args[1] if event in ("socket.connect", "socket.sendto") else args[0]
        host = where[0] if isinstance(where, tuple) else where
        if isinstance(where, tuple) and host in _LOCAL or isinstance(host, bytes):
            return
        if not (isinstance(where, str) and where.startswith("/")) and host not in _LOCAL:
            _note(f"sent {event} {where!r}")
    elif event == "open" and isinstance(args[0], (str, bytes)) and args[0] != _NOTES:
        mode, flags = args[1] or "", args[2] or 0
        if os.path.isdir(args[0]):
            return  # a temporary file without a name is opened by its folder
        if set(mode) & set("wax+") or flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
            _note(f"wrote {os.path.abspath(os.fsdecode(args[0]))}")
sys.addaudithook(_hook)
"""
_CONNECT = re.compile(r"(?:connect|sendto|sendmsg|sendmmsg)\(.*sa_family=AF_INET6?,.*")
_LOOPBACK = re.compile(r'inet_addr\("127\.|inet_pton\(AF_INET6, "::1"')
_CREATE = re.compile(
    r'^\d+\s+(?:openat|open|creat|mkdir|mkdirat)\((?:AT_FDCWD, )?"([^"]*)",? ?(.*)= \d+'
)
_WRITES = re.compile(r"O_WRONLY|O_RDWR|O_CREAT")


@dataclass(frozen=True, slots=True)
class Watched:
    """What came of a run."""

    done: subprocess.CompletedProcess[str]
    sent: tuple[str, ...]
    """Connections and look-ups beyond this machine, one line each."""
    wrote: tuple[str, ...]
    """Files and folders opened for writing or made."""


def watched(command: list[str], folder: Path, env: dict[str, str]) -> Watched:
    """Run ``python COMMAND`` under an audit hook, and under strace where there is one."""
    hooks, notes, calls = folder / "hooks", folder / "notes.txt", folder / "calls.txt"
    hooks.mkdir(parents=True)
    (hooks / "sitecustomize.py").write_text(HOOK, "utf-8")
    there = os.pathsep.join([str(hooks), *filter(None, [os.environ.get("PYTHONPATH")])])
    around = os.environ | {"PYTHONPATH": there, "CALLOUT_WATCHED": str(notes)} | env
    tracer = ["strace", "-f", "-qq", "-e", "trace=%network,openat,open,creat,mkdir,mkdirat",
              "-o", str(calls)] if can_trace() else []  # fmt: skip
    done = subprocess.run(
        [*tracer, sys.executable, *command], capture_output=True, text=True, check=False,
        env=around, stdin=subprocess.DEVNULL, cwd=folder, timeout=560,
    )  # fmt: skip
    told = notes.read_text("utf-8").splitlines() if notes.exists() else []
    traced = calls.read_text("utf-8", "replace").splitlines() if calls.exists() else []
    sent = [line for line in told if line.startswith("sent ")]
    sent += [c for c in traced if _CONNECT.search(c) and not _LOOPBACK.search(c)]
    wrote = {line.removeprefix("wrote ") for line in told if line.startswith("wrote ")}
    for found in filter(None, map(_CREATE.match, traced)):
        if "O_TMPFILE" in found[2]:
            continue  # has no name and is gone when it is closed
        if found[2].startswith("0") or _WRITES.search(found[2]):
            wrote.add(os.path.abspath(folder / found[1]))
    return Watched(done, tuple(sent), tuple(sorted(wrote - {str(notes)})))


def can_trace() -> bool:
    """Whether strace is there and may trace."""
    if not (tool := shutil.which("strace")):
        return False
    tried = subprocess.run([tool, "-qq", "true"], capture_output=True, check=False)
    return tried.returncode == 0
