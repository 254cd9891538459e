"""A real session in a process of its own, with its page."""

from __future__ import annotations

import os
import re
import socket
import time
from pathlib import Path

from tests.web.own_process import Program

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
        # Where something is to be missing, nothing is imported before.
        self.process = Program(args, {**os.environ, **more}, fresh=resume or bool(more))
        self.wait_for(r"Glance page|no glance page|needs a package|Nothing is lost")

    @property
    def address(self) -> str:
        """The page's address as shown last, with its code."""
        return re.findall(r"Glance page: (\S+)", self.process.text)[-1]

    def type(self, line: str) -> None:
        """Type one line."""
        self.process.type(line)

    def wait_for(self, pattern: str) -> None:
        """Wait until a line shows ``pattern``."""
        deadline = time.monotonic() + 300
        while not re.search(pattern, self.process.text):
            if self.process.has_ended():
                deadline = min(deadline, time.monotonic() + 1)  # its last lines are on their way
            if time.monotonic() > deadline:
                self.close()
                raise AssertionError(self.process.text)
            time.sleep(0.02)

    def kill(self) -> None:
        """End it as a power cut does."""
        self.process.kill()

    def close(self) -> None:
        """End it in any case."""
        self.process.kill()
