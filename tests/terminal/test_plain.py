"""The plain view: whole lines for a pipe, broken between words for a terminal."""

from __future__ import annotations

import io

import pytest

from callout.terminal.plain import PlainView, fitted_lines

LONG = "  For simulation, study and briefing only; the approved manual always rules."


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_a_pipe_gets_whole_lines() -> None:
    stream = io.StringIO()
    PlainView(stream).open(LONG)
    assert stream.getvalue() == LONG + "\n"


def test_a_terminal_gets_lines_broken_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    lines = list(fitted_lines([LONG, ""], Terminal()))
    assert all(len(line) <= 40 for line in lines)
    assert " ".join(line.strip() for line in lines) == LONG.strip() + " "
    assert lines[1].startswith("    ")


def test_a_path_stays_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    path = f"/home/{'x' * 60}/journal.jsonl"
    assert path in "\n".join(fitted_lines([f"Journal: {path}"], Terminal())).split()


def test_a_reader_that_has_gone_does_not_end_the_session() -> None:
    class Gone(io.StringIO):
        def write(self, text: str) -> int:
            raise BrokenPipeError

    PlainView(Gone()).notice("Trouble.", "Do this.")
