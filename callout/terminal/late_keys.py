"""The keyboard of a full-screen session, opened just after the first challenge has begun."""

from __future__ import annotations

import threading
from collections.abc import Iterable

from callout.ports.keys import Keys, KeySink


class LateKeys:
    """Passes everything on to the terminal's keyboard, once it is open.

    What is typed until then waits in the terminal.
    """

    def __init__(self, single: Iterable[str], *, after_s: float = 0.0) -> None:
        """single: characters and key names that act at once on an empty line. after_s: how long to
        wait before opening.
        """
        self._single = tuple(single)
        self._after_s = after_s
        self._change = threading.Lock()
        self._ended = threading.Event()
        self._keys: Keys | None = None
        self._asked: tuple[str, bool] | None = None

    def start(self, sink: KeySink) -> None:
        """Begin to read, after a moment."""
        opening = threading.Thread(target=self._open, args=(sink,), name="late keys", daemon=True)
        opening.start()

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Announce that a reply to ``item_id`` is expected."""
        with self._change:
            self._asked = item_id, idle
            if self._keys:
                self._keys.ask(item_id, idle=idle)

    def taken(self) -> None:
        """Nothing waits for this."""

    def close(self) -> None:
        """Stop reading and restore the terminal."""
        with self._change:
            self._ended.set()
            if self._keys:
                self._keys.close()

    def _open(self, sink: KeySink) -> None:
        if self._ended.wait(self._after_s):
            return
        from callout.terminal.keys import TerminalKeys

        with self._change:
            if self._ended.is_set():
                return
            self._keys = TerminalKeys(self._single)
            self._keys.start(sink)
            if self._asked:
                self._keys.ask(self._asked[0], idle=self._asked[1])
