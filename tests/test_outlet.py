"""The one way out for text: nothing harmful in it, and files whole or not at all."""

from __future__ import annotations

import errno
import io
import json
import os
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from rich.text import Text

from callout.errors import CalloutError
from callout.outlet import Guarded, OutputGone, drawing_stream, harmless_text, save_bytes, save_text
from callout.terminal.console import make_console

EVIL = "\x1b]0;owned\x07\x1b[2J\u202eabc\u2066\x9b31m\x08\x7f\ud800\U000e0001\r"
"""Terminal title, clearing, bell (ECMA-48), marks of direction (UAX 9), a surrogate, a tag."""


@given(st.text() | st.text(alphabet=st.characters(categories=["Cc", "Cf", "Cs", "Zl", "Zp"])))
def test_nothing_harmful_is_left(text: str) -> None:
    left = harmless_text(text).replace("\r\n", "\n")
    assert not [c for c in left if unicodedata.category(c)[0] == "C" and c not in "\n\t"]
    assert not {"\u2028", "\u2029"} & set(left)
    left.encode("utf-8")


@given(st.text(alphabet=st.characters(categories=["L", "N", "P", "S", "Zs"])))
def test_letters_of_every_script_stay(text: str) -> None:
    assert harmless_text(text) == text
    assert harmless_text(f"{text}\r\n\t{text}\n") == f"{text}\r\n\t{text}\n"


@given(st.recursive(st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)))
def test_json_stays_the_same_values(value: object) -> None:
    assert json.loads(harmless_text(json.dumps(value, ensure_ascii=False))) == value


def test_printed_text_is_guarded_and_drawn_text_is_not() -> None:
    raw = io.StringIO()
    stream = Guarded(raw)
    stream.write(EVIL)
    assert not {"\x1b", "\x07", "\u202e", "\x9b", "\r"} & set(raw.getvalue())
    drawing_stream(stream).write("\x1b[1m")  # type: ignore[arg-type]
    assert raw.getvalue().endswith("\x1b[1m")


def test_what_is_drawn_has_harmless_texts(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.StringIO()
    monkeypatch.setattr("sys.stdout", Guarded(raw))
    made: Console = make_console()
    made.print(Text(f"bold {EVIL}", "bold"))
    made.print(EVIL)
    assert "\\u202e" in raw.getvalue()
    assert not {"\x1b", "\x07", "\u202e", "\x9b"} & set(raw.getvalue())


def test_an_encoding_that_lacks_a_letter_is_no_error() -> None:
    raw = io.TextIOWrapper(io.BytesIO(), encoding="ascii", write_through=True)
    Guarded(raw).write("Höhe")
    assert raw.buffer.getvalue() == b"H?he"  # type: ignore[attr-defined]


def test_a_stream_that_is_closed_or_was_never_there_says_so() -> None:
    with pytest.raises(OutputGone, match=r"bad file descriptor") as caught:
        Guarded(None).write("x")
    assert not caught.value.left
    closed = io.StringIO()
    closed.close()
    with pytest.raises(OutputGone):
        Guarded(closed).write("x")


class Broken(io.StringIO):
    def write(self, text: str) -> int:
        raise BrokenPipeError(errno.EPIPE, "Broken pipe")


def test_a_reader_that_went_away_is_told_from_a_full_disk() -> None:
    with pytest.raises(OutputGone) as caught:
        Guarded(Broken()).write("x")
    assert caught.value.left


def test_a_file_is_whole_or_the_old_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "deep" / "report.txt"
    with pytest.raises(CalloutError, match="no such file"):
        save_text(path, "in a folder that is not there")
    save_text(path, f"one {EVIL}\n", folders=True)
    assert "\x1b" not in path.read_text(encoding="utf-8")
    before = path.read_bytes()
    os.chmod(path, 0o640)
    monkeypatch.setattr(os, "fsync", _full)
    with pytest.raises(CalloutError, match=r"report cannot be written to .*report.txt: no space"):
        save_text(path, "two", "The report")
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.iterdir()] == ["report.txt"]
    monkeypatch.undo()
    save_text(path, "two\r\n", as_it_is=True)
    assert path.read_bytes() == b"two\r\n"
    assert path.stat().st_mode & 0o777 == 0o640


def _full(file: int) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_link_stays_a_link_and_a_device_stays_a_device(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("old")
    link.symlink_to(real)
    save_text(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"
    before = os.stat("/dev/null").st_rdev
    save_bytes(Path("/dev/null"), b"gone")
    assert os.stat("/dev/null").st_rdev == before
    with pytest.raises(CalloutError, match="no space left"):
        save_text(Path("/dev/full"), "x")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_shells_are_told_how_to_complete_commands(shell: str) -> None:
    script = "from callout.cli.main import main; import sys; sys.argv = ['callout']; main()"
    wish = {"_CALLOUT_COMPLETE": f"{shell}_source"}
    done = subprocess.run(
        [sys.executable, "-c", script], env=os.environ | wish, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert "_CALLOUT_COMPLETE" in done.stdout
