"""``callout state``: a simulated aircraft is recorded, and its recording read again."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from callout.cli.main import app
from callout.errors import CalloutError
from callout.own_process import module_command
from tests.web.live_kit import free_port

ORDERS = "beacon on\naltimeter 1018\nfail battery\nflux on\n"


def said(*words: str) -> Result:
    return CliRunner().invoke(app, ["state", *words])


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Keep what an aircraft in a process of its own tells, until it hangs up."""
    path, port = tmp_path_factory.mktemp("told") / "stream.jsonl", str(free_port())
    aircraft = subprocess.Popen(
        [*module_command("callout"), "state", "aircraft", "sandling-two", "--state-port", port],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert aircraft.stdin is not None
        aircraft.stdin.write(ORDERS)
        aircraft.stdin.flush()
        while not path.exists() or path.read_text().count("snapshot") < 2:
            path.unlink(missing_ok=True)
            subprocess.run(
                [sys.executable, "-m", "callout", "state", "record", str(path), "sandling-two",
                 "--state-port", port, "--seconds", "6"],
                check=True, capture_output=True, timeout=300,
            )  # fmt: skip
    finally:
        aircraft.kill()
        _, refused = aircraft.communicate()
    assert "flux" in refused, "an order that means nothing is told"
    return path


def test_a_recording_holds_the_lines_as_they_came_each_of_the_published_shape(
    recorded: Path,
) -> None:
    check = jsonschema.Draft202012Validator(json.loads(said("schema").output))
    head, *entries = map(json.loads, recorded.read_text().splitlines())
    assert head == {"callout": "state recording", "version": 1}
    lines = [json.loads(entry["line"]) for entry in entries]
    for line in lines:
        check.validate(line)
    assert lines[0]["kind"] == "hello"
    assert [entry["at"] for entry in entries] == sorted(entry["at"] for entry in entries)


def test_it_is_read_to_the_same_state_each_time(recorded: Path) -> None:
    first, again = (said("read", str(recorded), "sandling-two") for _ in range(2))
    assert first.exit_code == 0, first.output
    assert first.output == again.output
    assert "  beacon: on\n" in first.output
    assert "  altimeter setting: 1018 hPa\n" in first.output
    assert "not fully read" not in first.output


def test_what_is_there_is_not_written_over(recorded: Path) -> None:
    before = recorded.read_bytes()
    error = said("record", str(recorded), "sandling-two", "--seconds", "0.1").exception
    assert isinstance(error, CalloutError)
    assert error.hint == "Name a file that does not exist yet."
    assert recorded.read_bytes() == before


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", "line 1"), ("{}\n", "line 1"),
        ('{"callout": "state recording", "version": 1}\n{"line": "x"}\n', "line 2"),
        ('{"callout": "state recording", "version": 1}\n'
         '{"line": "x", "at": 0}\n{"line": "x", "asked": "a"}\n', "some entries"),
    ],
)  # fmt: skip
def test_a_recording_that_is_none_is_one_sentence(tmp_path: Path, text: str, named: str) -> None:
    path = tmp_path / "x.jsonl"
    path.write_text(text)
    folder = ("--journal-dir", str(tmp_path / "journals"))
    for words in (
        ("state", "read", str(path), "sandling-two"),
        ("demo", "--fast", "--state", str(path), *folder),
    ):
        error = CliRunner().invoke(app, words).exception
        assert isinstance(error, CalloutError)
        assert error.message.startswith(str(path))
        assert named in error.message
    assert not (tmp_path / "journals" / "demonstrations").exists(), "no session was begun"


def test_a_live_aircraft_and_a_recorded_one_do_not_go_together() -> None:
    result = CliRunner().invoke(app, ["demo", "--panel", "--state", "sandling-two/before-start"])
    assert result.exit_code == 2
    assert "leave out --state" in result.output
