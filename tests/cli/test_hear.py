"""``callout hear`` as a person runs it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from callout.cli.main import app
from tests.hearing.recordings import FOLDER, WORDS, embedded

pytestmark = pytest.mark.audio

KEYS = {"file", "verdict", "reply", "heard", "confidence", "ms"}
ON, OFF = str(FOLDER / "human/on.wav"), str(FOLDER / "human/off.wav")
DROWNED = str(FOLDER / "demo/both-on-in-noise.wav")
SILENCE = str(FOLDER / "sounds/silence.wav")


@pytest.fixture(autouse=True, scope="module")
def _weights() -> None:
    embedded().close()


def hear(*words: str, expect: str = "on", against: str = "off") -> Result:
    options = ("--expect", expect, "--against", against, "--engine", "embedded")
    return CliRunner().invoke(app, ["hear", *words, *options], catch_exceptions=True)


def lines(*files: str, expect: str = "on", against: str = "off") -> list[dict[str, Any]]:
    found = hear(*files, "--json", expect=expect, against=against)
    assert found.exit_code == 0, found.output
    return [json.loads(line) for line in found.stdout.splitlines()]


def outcome(line: dict[str, Any]) -> tuple[Any, ...]:
    """Return all but the times."""
    return tuple(line[key] for key in ("verdict", "reply", "heard", "confidence", "guess"))


def test_one_json_line_a_file_in_the_order_given() -> None:
    found = lines(OFF, ON, SILENCE)
    assert [line["file"] for line in found] == [OFF, ON, SILENCE]
    assert [line["verdict"] for line in found] == ["mismatch", "match", "unclear"]
    for line in found:
        assert set(line) >= KEYS
        assert 0.0 <= line["confidence"] <= 1.0
        assert line["ms"] >= 0.0
    assert found[1]["reply"] == found[1]["heard"] == "on"
    assert found[2]["heard"] == ""


def test_the_accepted_reply_decides_and_several_may_be_wrong() -> None:
    (line,) = lines(OFF, expect="off", against="on|auto|up")
    assert (line["verdict"], line["reply"]) == ("match", "off")


def test_plain_words_for_people() -> None:
    found = hear(ON, OFF)
    assert found.exit_code == 0
    assert f"{ON}: match:" in found.stdout
    assert f"{OFF}: mismatch:" in found.stdout
    assert found.stdout.count("heard") >= 2


def test_an_unreadable_file_is_told_and_the_others_are_heard(tmp_path: Path) -> None:
    contents = {
        "empty": b"",
        "text": b"this is no recording\n",
        "headed": b"RIFF\x24\0\0\0WAVEfmt ",
    }
    bad = [tmp_path / f"{name}.wav" for name in ("missing", "folder", *contents)]
    (tmp_path / "folder.wav").mkdir()
    for name, content in contents.items():
        (tmp_path / f"{name}.wav").write_bytes(content)
    files = [ON, *map(str, bad), OFF]
    found = hear(*files, "--json")
    assert found.exit_code == 2
    told = [json.loads(line) for line in found.stdout.splitlines()]
    assert [line["file"] for line in told] == files
    assert [line["verdict"] for line in told] == ["match", *["unclear"] * 5, "mismatch"]
    assert all(set(line) >= KEYS for line in told)
    assert "Traceback" not in found.output
    lines_of = found.stderr.strip().splitlines()
    assert all(any(path.name in line for line in lines_of) for path in bad)
    assert len(lines_of) <= 2 * len(bad)


def test_one_file_says_nothing_about_the_next() -> None:
    """A doubtful try counts at the next try of one item, never in another recording."""
    twice = lines(DROWNED, DROWNED, DROWNED, expect="both on", against="both off")
    assert twice[0]["verdict"] == "unclear"
    assert outcome(twice[1]) == outcome(twice[0])
    assert outcome(twice[2]) == outcome(twice[0])


def test_the_order_of_files_changes_nothing() -> None:
    """Each is heard before and after each other one."""
    files = [DROWNED, str(FOLDER / "demo/both-on.wav"), OFF, str(FOLDER / "human/coffee.wav")]
    seen: dict[str, set[tuple[Any, ...]]] = {}
    for order in (files, files[::-1]):
        for line in lines(*order, expect="both on", against="both off"):
            seen.setdefault(line["file"], set()).add(outcome(line))
    assert all(len(outcomes) == 1 for outcomes in seen.values()), seen
    assert len(seen) == len(files)


def test_speech_cut_off_at_the_end_of_a_file_does_not_run_into_the_next(tmp_path: Path) -> None:
    data = Path(ON).read_bytes()
    cut = tmp_path / "cut.wav"
    cut.write_bytes(data[: 44 + (len(data) - 44) // 4 * 2])
    after = lines(str(cut), OFF)[1]
    assert outcome(after) == outcome(lines(OFF)[0])


@pytest.mark.parametrize("missing", ["file", "expect"])
def test_what_is_left_out_is_named(missing: str) -> None:
    words = ["hear", ON] if missing == "expect" else ["hear", "--expect", "on"]
    found = CliRunner().invoke(app, words)
    assert found.exit_code == 2
    assert ("--expect" if missing == "expect" else "FILES") in found.stderr


def test_no_reply_of_the_manifest_is_accepted_for_its_contrary() -> None:
    files = [str(FOLDER / name) for name, words in WORDS.items() if words in ("on", "off")]
    contrary = [f for f in files if Path(f).name.startswith("off")]
    assert len(contrary) >= 3
    assert all(line["verdict"] != "match" for line in lines(*contrary))
