"""A real session in a process of its own, with its page."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path

LIST = """\
callout: 1
id: line-up
title: Line-up checklist
phase: before-takeoff
method: challenge-and-response
complete: line-up checklist complete
sections:
  - title: Outside
    items:
      - {id: beacon, challenge: Beacon, response: "on", wrong: "off"}
      - id: pump
        challenge: Fuel pump
        response: "on"
        critical: yes
        caution: Not above 5 minutes.
      - {id: altimeter, challenge: Altimeter setting, response: "{1013 hPa}"}
      - {id: ice, challenge: Anti-ice, response: "on", when: icing}
  - title: Inside
    items:
      - {id: doors, challenge: Doors, response: closed and locked}
      - {id: flaps, challenge: Flaps, response: "flaps {5}"}
"""
FLIGHT = """\
callout: 1
title: An invented flight
facts: {icing: "no"}
"""


def free_port() -> int:
    """Return a port that nobody uses now."""
    with socket.socket() as made:
        made.bind(("127.0.0.1", 0))
        return int(made.getsockname()[1])


class Live:
    """``callout run --glance`` or ``callout resume --glance``, typed to through a pipe."""

    def __init__(self, folder: Path, port: int, *, resume: bool = False, **more: str) -> None:
        checklist = folder / "line-up.yaml"
        checklist.write_text(LIST)
        (folder / "flight.yaml").write_text(FLIGHT)
        what = ["resume"] if resume else ["run", str(checklist)]
        args = [*what, "--plain", "--silent", "--glance", "--glance-port", str(port)]
        args += ["--journal-dir", str(folder / "journals"), "--hearing", "keyboard"]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "callout", *args],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env={**os.environ, **more},
        )
        self.lines: list[str] = []
        threading.Thread(target=self._read, daemon=True).start()
        self.wait_for(r"Glance page|no glance page|needs a package|Nothing is lost")

    @property
    def address(self) -> str:
        """The page's address as shown last, with its code."""
        return re.findall(r"Glance page: (\S+)", "\n".join(self.lines))[-1]

    def type(self, line: str) -> None:
        """Type one line."""
        assert self.process.stdin
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def wait_for(self, pattern: str) -> None:
        """Wait until a line shows ``pattern``."""
        deadline = time.monotonic() + 300
        while not re.search(pattern, "\n".join(self.lines)):
            if self.process.poll() is not None:
                deadline = min(deadline, time.monotonic() + 1)  # its last lines are on their way
            if time.monotonic() > deadline:
                self.close()
                raise AssertionError(self.lines)
            time.sleep(0.02)

    def kill(self) -> None:
        """End it as a power cut does."""
        self.process.send_signal(signal.SIGKILL if os.name == "posix" else signal.SIGTERM)
        self._gone()

    def close(self) -> None:
        """End it in any case."""
        if self.process.poll() is None:
            self.process.kill()
        self._gone()

    def _gone(self) -> None:
        assert self.process.stdin
        self.process.wait()
        try:
            self.process.stdin.close()
        except OSError:
            return  # what was typed last has nobody to read it

    def _read(self) -> None:
        assert self.process.stdout
        with self.process.stdout as stream:
            for line in stream:
                self.lines.append(line.rstrip("\n"))
