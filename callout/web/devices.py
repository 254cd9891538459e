"""Who may look: a one-time code admits one device, and a cookie keeps it admitted.

Only a hash of each device is stored, so that the file gives nobody access.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import json
import os
import secrets
import threading
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ALPHABET = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
"""No letters or digits that look alike."""
LENGTH = 8
"""Thirty characters, eight places: 39 bits, against a few attempts per minute."""
STAY_S = 12 * 3600
"""How long a device stays admitted: a day's flying."""
MOST_DEVICES = 20

WINDOW_S = 60.0
TRIES_EACH = 5
"""Wrong attempts per minute from one address, after which it must wait."""
TRIES_ALL = 20
"""The same over all addresses; the right code is still accepted."""
TRIES_A_CODE = 100
"""Wrong attempts after which a new code is drawn: five minutes' worth, so that nobody who types the
right one finds it changed meanwhile.
"""


class WrongCode(Exception):
    """The code is not the one on the terminal."""


class TooManyTries(Exception):
    """Wait before the next attempt; ``seconds`` says how long."""

    def __init__(self, seconds: int) -> None:
        super().__init__(seconds)
        self.seconds = seconds


def draw_code() -> str:
    """Return a code as shown: two groups of four."""
    signs = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
    return f"{signs[:4]}-{signs[4:]}"


@dataclass
class CodeTries:
    """Counts wrong attempts; old ones are forgotten."""

    at: dict[str, deque[float]] = field(default_factory=dict)

    def wait(self, address: str, now: float) -> int:
        """Return the seconds until ``address`` may try again; 0: now."""
        self._forget(now)
        return _wait_seconds(list(self.at.get(address, ())), TRIES_EACH, now)

    def wait_of_all(self, now: float) -> int:
        """Return the seconds until another wrong code is accepted from anybody; 0: now."""
        self._forget(now)
        return _wait_seconds(
            sorted(when for tries in self.at.values() for when in tries), TRIES_ALL, now
        )

    def add(self, address: str, now: float) -> None:
        """Count one attempt."""
        self.at.setdefault(address, deque()).append(now)

    def _forget(self, now: float) -> None:
        for tries in self.at.values():
            while tries and tries[0] <= now - WINDOW_S:
                tries.popleft()
        self.at = {address: tries for address, tries in self.at.items() if tries}


def _wait_seconds(tries: list[float], most: int, now: float) -> int:
    return int(tries[-most] + WINDOW_S - now) + 1 if len(tries) >= most else 0


class Devices:
    """The present code and the admitted devices; safe from any thread.

    file: stores the devices across restarts; None, or an unwritable file: in memory only. now:
    seconds since the epoch.
    """

    def __init__(self, file: Path | None, now: Callable[[], float]) -> None:
        self._file = file
        self._now = now
        self.on_code: Callable[[], None] = lambda: None
        """Called when a new code is due, with no lock held."""
        self._lock = threading.Lock()
        self._tries = CodeTries()
        self._wrong = 0
        self._until = _read_devices(file, now())
        self.code = draw_code()

    def enter(self, code: str, address: str) -> str:
        """Use the code up and return the token of a new device.

        Raises WrongCode or TooManyTries.
        """
        before = self.code
        try:
            with self._lock:
                return self._entered(code, address, self._now())
        finally:
            if self.code != before:
                self.on_code()

    def knows(self, token: str) -> bool:
        """Say whether ``token`` belongs to an admitted device."""
        with self._lock:
            return self._until.get(_token_hash(token), 0.0) > self._now()

    def _entered(self, code: str, address: str, now: float) -> str:
        wait = self._tries.wait(address, now)
        if wait:
            raise TooManyTries(wait)
        right = hmac.compare_digest(_plain_code(code), _plain_code(self.code))
        wait = self._tries.wait_of_all(now)
        if wait and not right:  # other people's wrong codes lock out nobody who has the right one
            raise TooManyTries(wait)
        if not right:
            self._tries.add(address, now)
            self._wrong += 1
            if self._wrong >= TRIES_A_CODE:
                self._draw()
            raise WrongCode
        token = secrets.token_urlsafe(32)
        self._keep(token, now)
        self._draw()
        return token

    def _draw(self) -> None:
        self.code, self._wrong = draw_code(), 0

    def _keep(self, token: str, now: float) -> None:
        known = {name: until for name, until in self._until.items() if until > now}
        newest = sorted(known.items(), key=lambda pair: pair[1])[-(MOST_DEVICES - 1) :]
        self._until = {**dict(newest), _token_hash(token): now + STAY_S}
        if self._file:
            _write_devices(self._file, self._until)


def _plain_code(code: str) -> bytes:
    return "".join(code.upper().split()).replace("-", "").encode("utf-8", "replace")


def _token_hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _read_devices(file: Path | None, now: float) -> dict[str, float]:
    """Return what is stored; anything unreadable admits nobody."""
    try:
        told: Any = json.loads(file.read_text(encoding="utf-8")) if file else {}
        pairs = told.items() if isinstance(told, Mapping) else ()
        return {str(name): float(until) for name, until in pairs if now < until <= now + STAY_S}
    except (OSError, ValueError, TypeError):
        return {}


def _write_devices(file: Path, until: Mapping[str, float]) -> None:
    """Write a new file and move it into place; on a full disk only the memory of devices is
    lost.
    """
    fresh = file.with_name(f"{file.name}.{os.getpid()}.new")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            json.dump(dict(until), stream)
        os.replace(fresh, file)
    except OSError:
        with contextlib.suppress(OSError):
            fresh.unlink()
