"""Writing lists on the page: checked as typed, never written over unasked, read from a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.app.page.opening import OpenPage, PageWish
from tests.app.page.test_page_desk import ask
from tests.web.live_kit import FLIGHT, LIST

KEY = "own/my-plane/line-up.yaml"


@pytest.fixture
def plane(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    monkeypatch.setenv("CALLOUT_LISTS", str(tmp_path / "lists"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    folder = tmp_path / "lists" / "my-plane"
    folder.mkdir(parents=True)
    (folder / "line-up.yaml").write_text(LIST)
    (folder / "flight.yaml").write_text(FLIGHT)
    return folder


@pytest.fixture
def opened(plane: Path, tmp_path: Path) -> Iterator[OpenPage]:
    made = OpenPage(PageWish(port=0, browser=False), tmp_path / "journals")
    yield made
    made.stage.close(60)


def test_what_is_typed_is_checked_without_being_written(opened: OpenPage, plane: Path) -> None:
    good = ask(opened, "check", list=KEY, text=LIST)
    assert [one["challenge"] for one in good["items"]][:2] == ["Beacon", "Fuel pump"]
    assert not any(one["severity"] == "error" for one in good["findings"])
    bad = ask(opened, "check", list=KEY, text=LIST.replace("challenge: Beacon,", ""))
    errors = [one for one in bad["findings"] if one["severity"] == "error"]
    assert errors[0]["line"] == 10
    assert str(plane) not in errors[0]["message"]
    assert (plane / "line-up.yaml").read_text() == LIST


def test_typed_words_are_judged_as_a_session_would(opened: OpenPage) -> None:
    """ "off" for "on", and one digit of an altimeter setting wrong, are mismatches."""
    cases = (
        ("beacon", "on", "match"),
        ("beacon", "off", "mismatch"),
        ("beacon", "banana", "unclear"),
        ("altimeter", "one zero one three", "match"),
        ("altimeter", "one zero one eight", "mismatch"),
        ("flaps", "flaps five", "match"),
        ("flaps", "flaps fifteen", "mismatch"),
    )
    for item, words, wanted in cases:
        told = ask(opened, "judge", list=KEY, text=LIST, item=item, words=words)
        assert told["verdict"] == wanted, (item, words, told)
    assert ask(opened, "judge", list=KEY, text=LIST, item="gone", words="on")["ok"] is False


def test_the_card_is_of_the_text_as_typed(opened: OpenPage) -> None:
    told = ask(opened, "card", list=KEY, text=LIST.replace("Beacon", "Strobe lights"))
    assert told["page"].startswith("/shown/")
    assert ask(opened, "card", list=KEY, text="callout: [")["ok"] is False


def test_a_list_that_changed_on_the_disk_is_not_written_over(opened: OpenPage, plane: Path) -> None:
    before = ask(opened, "edit", list=KEY)
    file = plane / "line-up.yaml"
    theirs, mine = LIST.replace("Beacon", "Strobe"), LIST.replace("Beacon", "Landing light")
    file.write_text(theirs)
    assert ask(opened, "mark", list=KEY)["mark"] != before["mark"]
    told = ask(opened, "save", list=KEY, text=mine, mark=before["mark"])
    assert (told["changed"], told["text"]) == (True, theirs)
    assert file.read_text() == theirs
    told = ask(opened, "save", list=KEY, text=mine, mark=told["mark"])
    assert told["changed"] is False
    assert file.read_text() == mine


def test_a_shipped_list_is_only_copied(opened: OpenPage) -> None:
    key = "shipped/sandling-two/before-start.yaml"
    text = ask(opened, "edit", list=key)["text"]
    told = ask(opened, "save", list=key, text="x", mark="")
    assert "came with the program" in told["said"]
    copy = ask(opened, "copy", list=key)["list"]
    assert copy == "own/sandling-two/before-start.yaml"
    assert ask(opened, "edit", list=copy)["text"] == text
    assert ask(opened, "copy", list=key)["list"] == "own/sandling-two/before-start-2.yaml"
    assert ask(opened, "check", list=copy, text=text)["items"]


def test_flight_data_are_edited_too(opened: OpenPage, plane: Path) -> None:
    key = "own/my-plane/flight.yaml"
    groups = {g["key"]: g for g in ask(opened, "lists")["groups"]}
    assert groups["own/my-plane"]["data"] == key
    there = ask(opened, "edit", list=key)
    told = ask(opened, "save", list=key, text=FLIGHT + "# mine\n", mark=there["mark"])
    assert told["changed"] is False
    assert (plane / "flight.yaml").read_text().endswith("# mine\n")
    assert ask(opened, "check", list=key, text="facts: [")["findings"]


def test_a_list_of_plain_lines_becomes_a_list_that_runs(opened: OpenPage, tmp_path: Path) -> None:
    lines = "Doors: closed and locked\nBeacon: on\nFuel on board: ____\n"
    key = ask(opened, "new-list", title="../../Before start", plane="../..", lines=lines)["list"]
    assert key == "own/list/before-start.yaml"
    text = ask(opened, "edit", list=key)["text"]
    told = ask(opened, "check", list=key, text=text)
    assert [one["challenge"] for one in told["items"]] == ["Doors", "Beacon", "Fuel on board"]
    assert not any(one["severity"] == "error" for one in told["findings"])
    assert ask(opened, "run", list=key, replies="keyboard", silent=True)["ok"]
    assert ask(opened, "new-list", title="Empty", plane="", lines="")["ok"] is False
    assert {p.name for p in tmp_path.iterdir()} <= {"journals", "lists"}


PAPER = """\
Taxi checklist
Brakes .... TESTED / CHECKED
Flaps ..... ____
Lights .... AS RQRD
"""


def test_a_file_is_read_asked_about_and_made_a_list(opened: OpenPage) -> None:
    brought = opened.desk.bring("my taxi.txt", PAPER.encode())
    key = brought["reading"]
    told = ask(opened, "reading", reading=key)
    assert [row["challenge"] for row in told["rows"]] == ["Brakes", "Flaps", "Lights"]
    lights = told["rows"][2]
    doubt = lights["questions"][0]["doubt"]
    row = ask(opened, "decide", reading=key, at=2, doubt=doubt, answer="on / off")["row"]
    assert row["questions"] == []
    row = ask(opened, "reword", reading=key, at=0, challenge="Brakes", response="tested")["row"]
    assert row["response"] == "tested"
    assert ask(opened, "leave-out", reading=key, at=0, out=True)["row"]["kept"] is False
    made = ask(opened, "finish", reading=key, title="Taxi", plane="My plane")["list"]
    assert made == "own/my-plane/taxi.yaml"
    text = ask(opened, "edit", list=made)["text"]
    found = ask(opened, "check", list=made, text=text)
    assert [one["challenge"] for one in found["items"]] == ["Flaps", "Lights"]


def test_each_of_several_lists_of_one_file_becomes_a_list(opened: OpenPage) -> None:
    paper = PAPER + "\nLanding checklist\nGear .... down\nFlaps .... ____\n"
    key = opened.desk.bring("both.txt", paper.encode())["reading"]
    assert ask(opened, "reading", reading=key)["lists"] == ["Taxi", "Landing"]
    made = ask(opened, "finish", reading=key, title="Taxi", plane="My plane", each=True)["list"]
    assert made == "own/my-plane/taxi.yaml"
    text = ask(opened, "edit", list="own/my-plane/landing.yaml")["text"]
    assert "{landing_flaps}" in text


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.exe", b"MZ"),
        ("x.pdf", b"%PDF-1.7 broken"),
        ("x.jpg", b"\xff\xd8\xff nothing"),
        ("x.docx", b"PK\x03\x04 nothing"),
        ("../../x.txt", b"\xff\xfe\x00"),
        ("x.txt", b""),
        ("x.csv", b"\x00" * 10_000),
    ],
)
def test_what_cannot_be_read_is_one_sentence_that_names_the_file(
    opened: OpenPage, name: str, data: bytes
) -> None:
    told = opened.desk.bring(name, data)
    assert told["ok"] is False
    assert told["said"] != "Something went wrong inside callout."
    assert "/tmp/" not in told["said"] + told["hint"]


def test_a_reading_that_is_gone_is_told(opened: OpenPage) -> None:
    assert "is gone" in ask(opened, "reading", reading="x")["said"]
    for _ in range(5):
        last = opened.desk.bring("a.txt", PAPER.encode())["reading"]
    assert ask(opened, "reading", reading=last)["ok"]
