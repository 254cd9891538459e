"""``callout judge`` and ``callout bench judging`` as a person runs them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.cli.main import app
from callout.errors import CalloutError


def callout(*words: str) -> Result:
    return CliRunner().invoke(app, list(words), catch_exceptions=True)


def test_one_json_line() -> None:
    found = callout("judge", "off, correction, on", "--expect", "on", "--json")
    line = json.loads(found.output)
    assert (line["verdict"], line["reply"], line["code"]) == ("match", "on", "said")
    assert line["reason"]
    assert line["heard"] == "off, correction, on"


def test_why_names_words_and_rule() -> None:
    found = callout("judge", "ten thirteen", "--expect", "1013 hPa", "--why")
    assert "words: ten thirteen" in found.output
    assert "rule:" in found.output
    assert found.output.startswith("match: ")


@pytest.mark.parametrize(
    ("words", "verdict", "code"),
    [
        (["up", "--expect", "on", "--against", "off|up"], "mismatch", "named-wrong"),
        (["on", "--expect", "on", "--against", "on|off"], "match", "said"),
        (["flaps 15", "--expect", "flaps 5", "--wrong", "flaps 15: no"], "mismatch", "named-wrong"),
        (["set", "--expect", "set", "--actual-status"], "unclear", "bare-status"),
        (["five", "--expect", "on", "--previous", "flaps 5"], "mismatch", "previous-item"),
        (["five", "--expect", "on", "--following", "flaps 5"], "mismatch", "next-item"),
        (["2992", "--expect", "1013 hPa", "--other-unit", "inHg"], "match", "said-otherwise"),
        (["off", "--expect", "on", "--expect", "off"], "match", "said"),
        (["beacon on", "--expect", "on", "--challenge", "Beacon"], "match", "said"),
        (["as required on", "--expect", "on", "--as-required"], "match", "said"),
    ],
)
def test_options(words: list[str], verdict: str, code: str) -> None:
    line = json.loads(callout("judge", *words, "--json").output)
    assert (line["verdict"], line["code"]) == (verdict, code)


def test_batch_gives_one_line_for_each(tmp_path: Path) -> None:
    pairs = [
        {"reply": "on", "expect": "on"},
        {"reply": "ten thirteen", "expect": ["1013 hPa", "29.92 inHg"]},
        {"reply": "five", "expect": 9},
        {"reply": "", "expect": "on"},
    ]
    path = tmp_path / "pairs.jsonl"
    path.write_text("\ufeff" + "\n\n".join(json.dumps(p) for p in pairs) + "\n", encoding="utf-8")
    lines = [json.loads(x) for x in callout("judge", "--batch", str(path)).output.splitlines()]
    assert [x["verdict"] for x in lines] == ["match", "match", "mismatch", "unclear"]


def test_batch_from_standard_input_with_half_a_character() -> None:
    lines = '{"reply": "on\\ud800", "expect": "on"}\n{"reply": "on", "expect": "on"}\n'
    found = CliRunner().invoke(app, ["judge", "--batch", "-"], input=lines)
    assert [json.loads(x)["verdict"] for x in found.output.splitlines()] == ["unclear", "match"]


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("{", "not JSON"),
        ("[1]", 'a text "reply"'),
        ('{"expect": "on"}', 'a text "reply"'),
        ('{"reply": "on"}', '"expect" is missing'),
        ('{"reply": "on", "expect": []}', '"expect" is missing'),
        ('{"reply": "on", "expect": {"a": 1}}', '"expect" must be'),
        ('{"reply": "on", "expect": "on", "wrong": 1.5e3, "previous": null}', '"previous" must be'),
        ("[" * 50_000, "not JSON"),
    ],
)
def test_a_bad_line_is_named(line: str, part: str, tmp_path: Path) -> None:
    path = tmp_path / "pairs.jsonl"
    path.write_text('{"reply": "on", "expect": "on"}\n' + line + "\n", encoding="utf-8")
    error = callout("judge", "--batch", str(path)).exception
    assert isinstance(error, CalloutError)
    assert error.exit_code == 2
    assert f"{path}, line 2" in error.message
    assert part in error.message


def test_a_missing_or_binary_file_is_named(tmp_path: Path) -> None:
    binary = tmp_path / "noise.jsonl"
    binary.write_bytes(b"\xff\xfe\x00\x01")
    for path in (tmp_path / "none.jsonl", tmp_path, binary):
        error = callout("judge", "--batch", str(path)).exception
        assert isinstance(error, CalloutError)
        assert str(path) in error.message


def test_usage() -> None:
    assert callout("judge").exit_code == 2
    assert callout("judge", "on").exit_code == 2
    assert callout("judge", "on", "--batch", "x").exit_code == 2


def test_bench_prints_rates_and_fails_on_a_false_accept(tmp_path: Path) -> None:
    good = {"family": "states", "reply": "on", "expect": "on", "label": "match"}
    path = tmp_path / "table.jsonl"
    path.write_text(json.dumps(good) + "\n")
    found = callout("bench", "judging", "--pairs", str(path))
    assert found.exit_code == 0
    assert "right replies accepted: 1/1 = 100.00 %" in found.output
    path.write_text(json.dumps(good) + "\n" + json.dumps(good | {"label": "mismatch"}) + "\n")
    found = callout("bench", "judging", "--pairs", str(path))
    assert found.exit_code == 1
    assert "wrong replies accepted: 1/1" in found.output
    assert "'on' should be mismatch, was match" in found.output


def test_bench_json_counts(tmp_path: Path) -> None:
    path = tmp_path / "table.jsonl"
    path.write_text('{"family": "x", "reply": "off", "expect": "on", "label": "refuse"}\n')
    line = json.loads(callout("bench", "judging", "--pairs", str(path), "--json").output)
    assert line == {"right": 0, "accepted": 0, "wrong": 1, "wrong_accepted": 0}


def test_a_label_must_be_known(tmp_path: Path) -> None:
    path = tmp_path / "table.jsonl"
    path.write_text('{"reply": "off", "expect": "on", "label": "wrong"}\n')
    error = callout("bench", "judging", "--pairs", str(path)).exception
    assert isinstance(error, CalloutError)
    assert '"label" must be one of' in error.message
