"""Keys and lines to replies."""

from __future__ import annotations

import contextlib
import io
import os
import select
import sys
import time
from pathlib import Path

import pytest

from callout.app.shared.command_tables import default_commands
from callout.journal.summary import JournalInfo, newest_first
from callout.terminal.keys import LineEditor
from callout.terminal.lines import LineKeys

SINGLE = [key for entry in default_commands().entries for key in entry.keys]


class Sink:
    """Notes what the keyboard reports."""

    def __init__(self) -> None:
        self.got: list[tuple[str, ...]] = []

    def on_line(self, item_id: str, text: str) -> None:
        self.got.append(("line", item_id, text))

    def on_key(self, key: str) -> None:
        self.got.append(("key", key))

    def on_typing(self, text: str) -> None:
        self.got.append(("typing", text))

    def on_input_ended(self) -> None:
        self.got.append(("ended",))

    def on_interrupt(self) -> None:
        self.got.append(("interrupt",))

    @property
    def said(self) -> list[tuple[str, ...]]:
        return [entry for entry in self.got if entry[0] != "typing"]


@pytest.fixture
def sink() -> Sink:
    return Sink()


def editor(sink: Sink, item_id: str = "beacon") -> LineEditor:
    made = LineEditor(sink, SINGLE)
    made.ask(item_id)
    return made


def press(made: LineEditor, *keys: str) -> None:
    for key in keys:
        made.press(key, key)


def test_letters_make_a_line(sink: Sink) -> None:
    press(editor(sink), *"both on", "c-m")
    assert sink.said == [("line", "beacon", "both on")]
    assert ("typing", "both o") in sink.got


def test_single_keys_act_only_on_an_empty_line(sink: Sink) -> None:
    made = editor(sink)
    press(made, " ", "?", "f5", "escape", "left")
    assert sink.said == [("key", name) for name in ("space", "?", "f5", "escape", "left")]
    sink.got.clear()
    press(made, *"is it on?", "c-m")
    assert sink.said == [("line", "beacon", "is it on?")]


def test_minus_and_digits_begin_a_value(sink: Sink) -> None:
    press(editor(sink), *"-5", "c-m")
    press(editor(sink), *"1013", "c-m")
    assert [entry[2] for entry in sink.said] == ["-5", "1013"]


def test_escape_and_ctrl_u_clear_a_begun_line(sink: Sink) -> None:
    made = editor(sink)
    press(made, *"of", "escape", *"x", "c-u", *"on", "c-h", "n", "c-m")
    assert sink.said == [("line", "beacon", "on")]


def test_a_line_belongs_to_the_item_it_was_begun_for(sink: Sink) -> None:
    """The list moves on by voice while a line is typed: the line must not answer the next item."""
    made = editor(sink)
    press(made, "o")
    made.ask("pump")
    press(made, "n", "c-m")
    assert sink.said == [("line", "beacon", "on")]
    press(made, *"on", "c-m")
    assert sink.said[-1] == ("line", "pump", "on")


def test_paste_is_one_line_and_bounded(sink: Sink) -> None:
    made = editor(sink)
    made.press("<bracketed-paste>", "on\noff\n" * 500)
    press(made, "c-m")
    assert len(sink.said) == 1
    assert len(sink.said[0][2]) <= 300


def test_ctrl_c_interrupts_and_ctrl_d_ends(sink: Sink) -> None:
    press(editor(sink), "c-c", "c-d")
    assert sink.said == [("interrupt",), ("ended",)]


def drain(stream: io.StringIO, sink: Sink, lines: int) -> None:
    keys = LineKeys(stream, SINGLE, one_by_one=True)
    keys.start(sink)
    for number in range(lines):
        keys.ask(f"item{number}", idle=False)
        assert len(sink.got) == number, "no line is read before the session is idle"
        keys.ask(f"item{number}", idle=True)
        keys.ask(f"item{number}", idle=True)
        for _ in range(1_000):
            if len(sink.got) > number:
                break
            time.sleep(0.001)
        keys.taken()


def test_a_pipe_gives_one_line_for_each_question(sink: Sink) -> None:
    drain(io.StringIO("on\n?\n\nleft\nf2\n"), sink, 6)
    assert sink.got == [
        ("line", "item0", "on"),
        ("key", "?"),
        ("key", "enter"),
        ("line", "item3", "left"),
        ("key", "f2"),
        ("ended",),
    ]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_a_real_terminal_session(tmp_path: Path) -> None:
    """Keys pressed on a pseudo-terminal reach the session; the screen comes back at the end."""
    import pty

    path = tmp_path / "two.yaml"
    path.write_text(
        "callout: 1\nid: two\ntitle: Two items\nphase: taxi\nmethod: challenge-and-response\n"
        "complete: two items complete\nsections:\n  - title: A\n    items:\n"
        "      - {id: beacon, challenge: Beacon, response: 'on'}\n"
        "      - {id: pump, challenge: Fuel pump, response: 'on'}\n"
    )
    folder = tmp_path / "j"
    pid, terminal = pty.fork()
    if not pid:
        args = ["run", str(path), "--silent", "--hearing", "keyboard", "--journal-dir", str(folder)]
        os.environ["TERM"] = "xterm-256color"
        os.execv(sys.executable, [sys.executable, "-m", "callout", *args])
    try:
        until(terminal, "Beacon?")
        for keys, shown in [
            (b"off\r", "MISMATCH"),
            (b" ", "HOLDING"),
            (b" ", "Continuing at Beacon."),
            (b"\x1b[17~", "Fuel pump?"),  # F6: defer
            (b"on\r", "Beacon?"),
            (b"on\r", "Journal:"),
        ]:
            os.write(terminal, keys)
            until(terminal, shown)
        rest(terminal)
        assert os.waitpid(pid, 0)[1] == 0
    finally:
        os.close(terminal)
    (info,) = newest_first(folder)
    assert isinstance(info, JournalInfo)
    assert info.summary.call == "Two items complete."
    assert [line.detail for line in info.summary.deferred] == ["then answered: on"]


def rest(terminal: int) -> None:
    """Read to the end, so that nothing waits to be written."""
    with contextlib.suppress(OSError):
        while os.read(terminal, 65536):
            pass


def until(terminal: int, text: str) -> None:
    seen = b""
    for _ in range(400):
        if select.select([terminal], [], [], 0.05)[0]:
            try:
                seen += os.read(terminal, 65536)
            except OSError:
                break
        if text.encode() in seen:
            return
    raise AssertionError(f"{text!r} never came: {seen[-2000:]!r}")
