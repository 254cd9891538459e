"""``callout`` alone: a person at a terminal is asked what to do, a program is given the help."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.cli import main
from callout.cli.main import _STARTS, SAFETY, app
from callout.errors import CalloutError


@pytest.fixture
def journals(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path))
    monkeypatch.setattr(main, "_at_terminal", lambda: True)
    return tmp_path


def start(typed: str) -> Result:
    return CliRunner().invoke(app, ["--terminal"], input=typed)


def test_without_a_terminal_it_is_the_help() -> None:
    result = start("")
    assert result.exit_code == 0
    assert result.output.startswith("Usage: ")


@pytest.mark.usefixtures("journals")
def test_it_says_what_it_is_for_and_offers_every_way_to_begin() -> None:
    result = start("0\n")
    assert result.exit_code == 0
    assert " ".join(SAFETY.split()) in " ".join(result.output.split())
    assert all(words in result.output for words, *_ in _STARTS)
    assert max(map(len, result.output.splitlines())) <= 80


@pytest.mark.usefixtures("journals")
def test_what_is_chosen_is_done() -> None:
    result = start("8\n")
    assert "no sessions" in str(result.exception).lower()
    assert "does not exist" in str(start("4\nno-such-list\n").exception)


@pytest.mark.usefixtures("journals")
def test_a_number_that_is_not_there_is_asked_again() -> None:
    result = start("99\n0\n")
    assert result.exit_code == 0
    assert result.output.count("Number (0 to leave)") == 2


def test_every_way_to_begin_is_a_command() -> None:
    commands = app.list_commands(app.make_context("callout", ["--help"], resilient_parsing=True))
    assert {name for _, name, _, _ in _STARTS} <= set(commands)


def test_garbage_is_collected_again_after_a_session_that_could_not_begin() -> None:
    result = CliRunner().invoke(app, ["run", "no-such-list"])
    assert isinstance(result.exception, CalloutError)
    assert gc.isenabled()
