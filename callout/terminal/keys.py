"""The keyboard of a full-screen session: single keys act at once, letters fill a line."""

from __future__ import annotations

import select
import sys
import threading
from collections.abc import Iterable

from prompt_toolkit.input import Input, create_input
from prompt_toolkit.key_binding.key_processor import KeyPress
from prompt_toolkit.keys import Keys as K

from callout.ports.keys import KeySink

MAX_LINE = 300
_WAIT_S = 0.2
_ESCAPE_S = 0.05
"""How long an escape character may be the start of a longer key."""

_NAMES: dict[str, str] = {
    K.Escape.value: "escape",
    K.ControlI.value: "tab",
    K.Left.value: "left",
    K.ControlM.value: "enter",
    K.ControlJ.value: "enter",
    **{f"f{n}": f"f{n}" for n in range(1, 25)},
}
_ERASE = {K.ControlH.value, K.Delete.value}
_CLEAR = {K.ControlU.value}


class LineEditor:
    """Turns keys into lines and single keys, independently of a terminal."""

    def __init__(self, sink: KeySink, single: Iterable[str]) -> None:
        self._sink = sink
        self._single = frozenset(single)
        self._line = ""
        self._asked = ""
        self._begun_for = ""

    def ask(self, item_id: str) -> None:
        """A reply to ``item_id`` is expected; a line already begun keeps its own item."""
        self._asked = item_id

    def press(self, key: str, data: str) -> None:
        """Take one key: its name, and its text."""
        if key in (K.ControlC.value, K.SIGINT.value):
            self._sink.on_interrupt()
        elif key == K.ControlD.value and not self._line:
            self._sink.on_input_ended()
        elif key == K.BracketedPaste.value:
            self._add(data)
        elif key in _ERASE or key in _CLEAR:
            self._set("" if key in _CLEAR else self._line[:-1])
        elif key in _NAMES:
            self._named(_NAMES[key])
        elif len(key) == 1:
            self._typed(key)

    def _named(self, name: str) -> None:
        if name == "enter" and self._line.strip():
            line = self._line
            self._set("")
            self._sink.on_line(self._begun_for, line)
        elif name == "escape" and self._line:
            self._set("")
        elif not self._line.strip() or name.startswith("f"):
            self._sink.on_key(name)

    def _typed(self, character: str) -> None:
        name = "space" if character == " " else character
        if not self._line and name in self._single:
            self._sink.on_key(name)
        else:
            self._add(character)

    def _add(self, text: str) -> None:
        self._set((self._line + " ".join(text.split("\n")))[:MAX_LINE])

    def _set(self, line: str) -> None:
        if not self._line:
            self._begun_for = self._asked
        self._line = line
        self._sink.on_typing(line)


class TerminalKeys:
    """Reads the terminal key by key in its own thread.

    single: characters and key names that act at once on an empty line.
    """

    def __init__(self, single: Iterable[str]) -> None:
        self._single = tuple(single)
        self._editor: LineEditor | None = None
        self._closed = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, sink: KeySink) -> None:
        """Begin to read."""
        self._editor = LineEditor(sink, self._single)
        self._thread = threading.Thread(target=self._read, args=(sink,), name="keys", daemon=True)
        self._thread.start()

    def ask(self, item_id: str, *, idle: bool) -> None:
        """A reply to ``item_id`` is expected; typing may begin while the tool still speaks."""
        if self._editor:
            self._editor.ask(item_id)

    def taken(self) -> None:
        """Nothing waits for this."""

    def close(self) -> None:
        """Stop reading; the terminal is restored when this returns."""
        self._closed.set()
        if self._thread and self._thread is not threading.current_thread():
            self._thread.join(timeout=2)

    def _read(self, sink: KeySink) -> None:
        terminal = create_input()
        with terminal.raw_mode():
            while not self._closed.is_set() and not terminal.closed:
                for press in _read_presses(terminal):
                    self._press(press)
        if not self._closed.is_set():
            sink.on_input_ended()

    def _press(self, press: KeyPress) -> None:
        assert self._editor is not None
        key = press.key.value if isinstance(press.key, K) else press.key
        self._editor.press(key, press.data)


def _read_presses(terminal: Input) -> list[KeyPress]:
    if sys.platform == "win32":
        threading.Event().wait(_ESCAPE_S)
        return terminal.read_keys()
    if not select.select([terminal.fileno()], [], [], _WAIT_S)[0]:
        return terminal.flush_keys()
    presses = terminal.read_keys()
    if not select.select([terminal.fileno()], [], [], _ESCAPE_S)[0]:
        presses += terminal.flush_keys()
    return presses
