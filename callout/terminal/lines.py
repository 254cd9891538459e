"""The keyboard of a plain session: whole lines from a pipe, a screen reader or a terminal."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable
from typing import TextIO

from callout.ports.keys import KeySink

_ALONE = {"": "enter", " ": "space", "\t": "tab"}


class LineKeys:
    """Reads lines in its own thread.

    A line that is only a single key ("?") or a function key's name ("f2") acts as that key; an
    empty line is the enter key. From a pipe, where all lines are available from the start, each is
    read only when the session is idle and the previous line has been handled.
    """

    def __init__(self, stream: TextIO, single: Iterable[str], *, one_by_one: bool) -> None:
        self._stream = stream
        names = frozenset(single)
        self._single = {key for key in names if len(key) == 1 or re.fullmatch(r"f\d+", key)}
        self._one_by_one = one_by_one
        self._turn = threading.Semaphore(0)
        self._asked = ""
        self._free = True
        """True when no line is being read or waits to be handled."""

    def start(self, sink: KeySink) -> None:
        """Start to read."""
        threading.Thread(target=self._read, args=(sink,), name="lines", daemon=True).start()

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Let the next line through."""
        self._asked = item_id
        if idle and self._free:
            self._free = False
            self._turn.release()

    def taken(self) -> None:
        """The next line may be read once it is asked for."""
        self._free = True

    def close(self) -> None:
        """The thread ends with its stream or with the program."""

    def _read(self, sink: KeySink) -> None:
        while True:
            if self._one_by_one:
                self._turn.acquire()
            try:
                line = self._stream.readline()
            except (OSError, ValueError):
                line = ""
            if not line:
                sink.on_input_ended()
                return
            self._report(sink, line.rstrip("\r\n"))

    def _report(self, sink: KeySink, line: str) -> None:
        key = _ALONE.get(line, line.strip().casefold())
        if line in _ALONE or key in self._single:
            sink.on_key(key)
        else:
            sink.on_line(self._asked, line)
