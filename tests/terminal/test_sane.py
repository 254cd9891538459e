"""A terminal left raw by a killed session is mended by the next one."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from typing import TextIO

import pytest

if sys.platform == "win32":
    pytest.skip("terminals are POSIX's", allow_module_level=True)

import pty
import termios
import tty

from callout.terminal.sane import MENDED, make_sane


@pytest.fixture
def terminal() -> Iterator[tuple[int, TextIO]]:
    far, near = pty.openpty()
    with os.fdopen(near, "r+b", buffering=0) as raw, io.TextIOWrapper(raw, "utf-8") as stream:
        yield far, stream
    os.close(far)


def test_a_raw_terminal_gets_what_stty_sane_gives(terminal: tuple[int, TextIO]) -> None:
    """The flags POSIX names for ``stty sane`` that a raw terminal lacks (termios(3))."""
    far, stream = terminal
    before = termios.tcgetattr(stream.fileno())
    tty.setraw(stream.fileno())
    assert make_sane(stream, stream)
    after = termios.tcgetattr(stream.fileno())
    for index, flags in (
        (0, ("ICRNL", "IXON", "BRKINT")),
        (1, ("OPOST", "ONLCR")),
        (3, ("ECHO", "ECHOE", "ECHOK", "ICANON", "ISIG", "IEXTEN")),
    ):
        for name in flags:
            assert after[index] & getattr(termios, name), name
    assert after[3] == before[3]
    assert MENDED.encode() in os.read(far, 200)
    assert not make_sane(stream, stream), "mended already"


def test_a_sane_terminal_is_left_alone(terminal: tuple[int, TextIO]) -> None:
    _, stream = terminal
    before = termios.tcgetattr(stream.fileno())
    assert not make_sane(stream, stream)
    assert termios.tcgetattr(stream.fileno()) == before


def test_a_pipe_is_no_terminal() -> None:
    shown = io.StringIO()
    with open(os.devnull, encoding="utf-8") as nothing:
        assert not make_sane(nothing, shown)
    assert not make_sane(io.StringIO(), shown)
    assert shown.getvalue() == ""
