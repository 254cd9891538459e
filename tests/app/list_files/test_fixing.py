"""What ``callout check --fix`` changes, and what it leaves alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.list_files.checking import check_paths
from callout.app.list_files.fixing import fix_file
from callout.core.formats.drafts import name_from
from callout.core.lint.finding import ListFinding
from callout.errors import ChecklistInvalid

GOOD = """# A list of my own
callout: 1
id: taxi
title: Taxi  # said as it is written
phase: taxi
method: challenge-and-response
complete: taxi checklist complete
items:
  # the brakes first
  - id: brakes
    challenge: Brakes
    response: released
    wrong: on
"""


def findings(path: Path) -> tuple[ListFinding, ...]:
    return check_paths([path])[0].findings


def fixed(tmp_path: Path, text: str) -> tuple[str, list[str]]:
    path = tmp_path / "taxi.yaml"
    path.write_bytes(text.encode())
    done = fix_file(path, findings)
    return path.read_bytes().decode(), done


def test_nothing_is_done_to_a_good_file(tmp_path: Path) -> None:
    assert fixed(tmp_path, GOOD) == (GOOD, [])


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("title:", "tittle:"),
        ("callout: 1\n", ""),
        ("complete: taxi checklist complete\n", ""),
        ("complete: taxi checklist complete", "complete: done"),
        ("  - id: brakes\n    challenge: Brakes", "  - challenge: Brakes"),
        ("    challenge: Brakes\n", "\tchallenge: Brakes\n"),
        ("    wrong: on\n", "    wrong: on\n    critical: yes\n    actual_status: no\n"),
        ("    wrong: on\n", "    wrong: on\n    when: night or not night\n"),
        ("    wrong: on\n", "    wrong: on\n    allow:\n      long-list: no\n"),
        ("    response: released", "    respose: released"),
    ],
)
def test_mechanical_faults_are_put_right_and_comments_stay(
    tmp_path: Path, before: str, after: str
) -> None:
    text, done = fixed(tmp_path, GOOD.replace(before, after))
    assert done
    assert not findings(tmp_path / "taxi.yaml")
    comments = [line.partition("#")[2] for line in GOOD.splitlines() if "#" in line]
    assert all(f"#{comment}" in text for comment in comments)


def test_a_missing_list_id_is_made_of_the_title(tmp_path: Path) -> None:
    without = "".join(x for x in GOOD.splitlines(keepends=True) if not x.startswith("id: "))
    assert without != GOOD
    text, done = fixed(tmp_path, without)
    assert len(done) == 1
    assert 'the list has the id "taxi"' in done[0]
    assert "\nid: taxi\n" in f"\n{text}"
    assert not findings(tmp_path / "taxi.yaml")


def test_windows_line_ends_stay(tmp_path: Path) -> None:
    text, done = fixed(tmp_path, GOOD.replace("title:", "tittle:").replace("\n", "\r\n"))
    assert len(done) == 1
    assert text == GOOD.replace("\n", "\r\n")


def test_what_needs_a_pilot_is_left(tmp_path: Path) -> None:
    vague = GOOD.replace("response: released", "response: set")
    assert fixed(tmp_path, vague) == (vague, [])


def test_ids_are_free_and_usable() -> None:
    assert name_from("Fuel pump (left)", set()) == "fuel-pump-left"
    assert name_from("Fuel pump", {"fuel-pump"}) == "fuel-pump-2"
    assert name_from("On", set()) == "on-2"
    assert name_from("24 volts", set()).startswith("item-24")


@pytest.mark.parametrize("end", ["\r", "\x85", "\u2028", "\u2029"])
def test_lines_that_end_in_an_unusual_way_are_left_alone_in_one_sentence(
    tmp_path: Path, end: str
) -> None:
    text = GOOD.replace("    challenge", "    chalenge").replace("\n", end)
    with pytest.raises(ChecklistInvalid, match="unusual line endings"):
        fixed(tmp_path, text)
    assert (tmp_path / "taxi.yaml").read_bytes().decode() == text


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_usual_line_ends_are_kept(tmp_path: Path, end: str) -> None:
    text = GOOD.replace("    challenge", "    chalenge").replace("\n", end)
    assert fixed(tmp_path, text)[0] == GOOD.replace("\n", end)
