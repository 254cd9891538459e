"""A small bridge: sends state to a state port, and reconnects after an interruption."""

from __future__ import annotations

import json
import secrets
import socket
import time
from collections.abc import Mapping

from callout.core.state.messages import SEQUENCE, VERSION

WHOLE_S = 1.0
"""Maximum time between snapshots, in seconds; changes are sent at once."""
AGAIN_S = 0.5
"""Pause before it tries to connect again."""

Values = Mapping[str, str | float]


class Bridge:
    """Sends to the port of this machine; never raises."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._socket: socket.socket | None = None
        self._run = ""
        self._seq = 0
        self._sent: Values = {}
        self._whole_at = 0.0
        self._tried_at = -AGAIN_S

    def tell(self, values: Values) -> None:
        """Send what has changed, and a full snapshot at intervals."""
        now = time.monotonic()
        if self._socket is None and not self._connected(now):
            return
        if now - self._whole_at >= WHOLE_S:
            self._send("snapshot", values, now)
            self._whole_at = now
        else:
            changed = {n: v for n, v in values.items() if self._sent.get(n) != v}
            if changed:
                self._send("change", changed, now)
        self._sent = dict(values)

    def close(self) -> None:
        """Disconnect."""
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _connected(self, now: float) -> bool:
        if now - self._tried_at < AGAIN_S:
            return False
        self._tried_at = now
        try:
            self._socket = socket.create_connection(("127.0.0.1", self._port), timeout=2.0)
        except OSError:
            return False
        self._run, self._seq, self._whole_at = secrets.token_hex(6), 0, -WHOLE_S
        self._put({"kind": "hello", "version": VERSION, "run": self._run, "name": "simulated"})
        return self._socket is not None

    def _send(self, kind: str, values: Values, now: float) -> None:
        place = {"kind": kind, "run": self._run, "seq": self._seq, "time": round(now, 4)}
        self._put({**place, "values": dict(values)})
        self._seq = (self._seq + 1) % SEQUENCE

    def _put(self, message: Mapping[str, object]) -> None:
        if self._socket is None:
            return
        try:
            self._socket.sendall(json.dumps(message).encode() + b"\n")
        except OSError:
            self.close()
