"""A child process that makes sound; it takes JSON lines and is killed if it hangs."""

from __future__ import annotations

import contextlib
import json
import queue
import subprocess
import tempfile
import threading
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from callout.own_process import end_process, module_command, start_process

Reply = Mapping[str, Any]

_COMMAND = module_command("callout.speaking.voice_process")
_ENDED: Reply = {"ok": False, "error": "the voice process ended"}
LATE: Reply = {"ok": False, "late": True, "error": "the voice did not finish in time"}


class SoundChild:
    """Owns at most one child process; ``ask`` from one thread, ``kill`` from any.

    command: what to run instead of the voice process (the scratch folder is its last argument).
    """

    def __init__(self, command: Sequence[str] = _COMMAND) -> None:
        self._command = tuple(command)
        self._scratch = tempfile.TemporaryDirectory(prefix="callout-voice-")
        self._change = threading.Lock()
        self._process: subprocess.Popen[str] | None = None
        self._lines: queue.Queue[str | None] = queue.Queue()
        self._closed = False
        self.fresh = True
        """True until a process has answered once: it may still be starting."""

    def start(self) -> None:
        """Start the process unless it is running; raises OSError if the system refuses."""
        with self._change:
            if self._closed or (self._process and self._process.poll() is None):
                return
            self._lines = queue.Queue()
            self.fresh = True
            self._process = start_process([*self._command, self._scratch.name])
            reader = threading.Thread(
                target=_read_lines,
                args=(self._process, self._lines),
                name="voice-reader",
                daemon=True,
            )
            reader.start()

    def ask(
        self, request: Reply, seconds: float, cancelled: Callable[[], bool] = lambda: False
    ) -> Reply:
        """Send a request and return its reply; a late child is killed and LATE returned.

        ``cancelled`` is checked right before sending: a caller that sets it and then calls ``kill``
        can be sure that the request is not carried out. A child that dies or is killed also gives
        ``ok`` False; this never raises.
        """
        try:
            self.start()
            with self._change:
                process, lines = self._process, self._lines
                if cancelled() or process is None or process.stdin is None:
                    return _ENDED
                process.stdin.write(json.dumps(request) + "\n")
                process.stdin.flush()
        except (OSError, ValueError) as error:
            self.kill()
            return {"ok": False, "error": f"the voice process cannot be reached: {error}"}
        return self._reply(lines, seconds)

    def _reply(self, lines: queue.Queue[str | None], seconds: float) -> Reply:
        try:
            line = lines.get(timeout=seconds)
        except queue.Empty:
            self.kill()
            return LATE
        if line is None:
            self.kill()
            return _ENDED
        self.fresh = False
        try:
            reply = json.loads(line)
        except ValueError:
            reply = None
        return reply if isinstance(reply, dict) else {"ok": False, "error": f"odd reply: {line!r}"}

    def kill(self) -> None:
        """End the process and its children at once; safe if there is none."""
        with self._change:
            process, self._process = self._process, None
        if process is not None:
            end_process(process)

    def close(self) -> None:
        """End the process for good; safe to call twice."""
        self._closed = True
        self.kill()
        self._scratch.cleanup()


def _read_lines(process: subprocess.Popen[str], lines: queue.Queue[str | None]) -> None:
    if process.stdout is not None:
        with contextlib.suppress(OSError, ValueError):
            for line in process.stdout:
                lines.put(line)
    lines.put(None)
