"""An input that fails in the way that the environment says."""

from __future__ import annotations

import os
import random
import time
from pathlib import Path


class FatalInput:
    """Ends the process, never returns, or raises."""

    suffix = ".txt"

    def __init__(self, folder: Path, where: Path) -> None:
        self._way = os.environ["CALLOUT_TEST_WAY"]

    def make(self, rng: random.Random) -> bytes:
        return b""

    def take(self, data: bytes) -> str:
        if self._way == "died":
            os._exit(3)
        if self._way == "hung":
            time.sleep(600)
        raise RuntimeError("as it was asked for")
