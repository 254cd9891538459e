"""Packs: made, read without trusting them, compared, added."""

from __future__ import annotations

import io
import json
import stat
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.packs.archive import packed_bytes, read_pack
from callout.app.packs.packing import (
    OpenedPack,
    add_pack,
    differing_replies,
    open_pack,
    pack_differences,
    pack_folder,
    write_pack,
)
from callout.cli.main import app
from callout.errors import ChecklistInvalid

LIST = """callout: 1
id: taxi
title: Taxi
phase: taxi
method: challenge-and-response
complete: taxi checklist complete
items:
  - id: brakes
    challenge: Brakes
    response: tested
    wrong: soft
  - id: flaps
    challenge: Flaps
    response: up
"""
ABOUT = {
    "name": "fenwick-two",
    "title": "Fenwick Two",
    "version": "1.0",
    "source": "own flow",
    "author": "A. Pilot",
    "licence": "CC0-1.0",
}


def made_pack(folder: Path, text: str = LIST, **told: str) -> OpenedPack:
    folder.mkdir(parents=True)
    (folder / "taxi.yaml").write_text(text)
    return pack_folder(folder, {**ABOUT, **told})


def test_the_same_lists_make_the_same_file_and_come_back(tmp_path: Path) -> None:
    opened = made_pack(tmp_path / "a")
    again = made_pack(tmp_path / "b")
    assert packed_bytes(opened.pack) == packed_bytes(again.pack)
    write_pack(opened, tmp_path / "pack.zip")
    back = open_pack(tmp_path / "pack.zip")
    assert back.pack == opened.pack
    verdicts = {(pair.item_id, pair.reply, pair.verdict.value) for pair in back.pairs}
    assert verdicts == {
        ("brakes", "tested", "match"), ("brakes", "soft", "mismatch"), ("flaps", "up", "match"),
    }  # fmt: skip
    assert differing_replies(back) == []


def test_a_pack_that_is_added_can_be_packed_again_unchanged(tmp_path: Path) -> None:
    opened = made_pack(tmp_path / "a")
    place = tmp_path / "mine" / "fenwick-two"
    assert add_pack(opened, place) is None
    assert open_pack(place).pack == opened.pack
    with pytest.raises(ChecklistInvalid, match="already exists, version"):
        add_pack(opened, place)
    kept = add_pack(made_pack(tmp_path / "b", version="1.1"), place, replace=True)
    assert kept is not None
    assert "1.0" in (kept / "pack.toml").read_text()
    assert not list(place.parent.glob(".pack-*"))


def test_differences_are_told_item_by_item(tmp_path: Path) -> None:
    text = LIST.replace("response: up", "response: 10").replace("wrong: soft", "critical: yes")
    text += "  - id: beacon\n    challenge: Beacon\n    response: on\n"
    old, new = made_pack(tmp_path / "a"), made_pack(tmp_path / "b", text, version="2.0")
    assert pack_differences(old, new) == [
        "version: 1.0 -> 2.0",
        "Taxi:",
        "  ~ Brakes: wrong: soft -> nothing",
        "  ~ Brakes: critical: no -> yes",
        "  ~ Brakes: actual status: no -> yes",
        "  ~ Flaps: response: up -> 10",
        "  + Beacon: on",
    ]


def test_a_list_that_judges_otherwise_than_its_author_says_is_not_added(tmp_path: Path) -> None:
    folder = tmp_path / "a"
    folder.mkdir()
    (folder / "taxi.yaml").write_text(LIST)
    pairs = [
        {"list": "taxi", "item": "flaps", "reply": "down", "verdict": "match"},
        {"list": "taxi", "item": "gone", "reply": "up", "verdict": "match"},
    ]
    (folder / "pairs.jsonl").write_text("".join(json.dumps(pair) + "\n" for pair in pairs))
    opened = pack_folder(folder, ABOUT)
    assert len(differing_replies(opened)) == 2
    write_pack(opened, tmp_path / "pack.zip")
    words = ["pack", "add", str(tmp_path / "pack.zip"), "--into", str(tmp_path / "mine")]
    result = CliRunner().invoke(app, words)
    assert result.exit_code == 2
    assert "the author expects match; here it is judged mismatch" in result.output
    assert not (tmp_path / "mine").exists()


LINK = zipfile.ZipInfo("more.yaml")
LINK.external_attr = (stat.S_IFLNK | 0o777) << 16
EXTRA: dict[str, list[tuple[zipfile.ZipInfo | str, bytes]]] = {
    "climbs": [("../taxi.yaml", b"x")],
    "absolute": [("/etc/taxi.yaml", b"x")],
    "drive": [("C:\\taxi.yaml", b"x")],
    "device": [("nul.txt", b"x")],
    "program": [("run.py", b"x")],
    "unnamed": [("more.yaml", b"x")],
    "link": [(LINK, b"/etc/passwd")],
    "many": [(f"m{n}.txt", b"") for n in range(400)],
}
TOLD: dict[str, dict[str, object]] = {
    "climbing-name": {"name": "../../x"},
    "named-outside": {"files": {"../x.yaml": "0" * 64}},
    "no-author": {"author": ""},
    "list": {"callout_pack": "one"},
}
CHANGED = {"sum": lambda data: data + b"#", "bomb": lambda data: b"#" * 60_000_000}


def hostile(path: Path, change: str) -> Path:
    """Write a pack with one thing wrong."""
    with zipfile.ZipFile(io.BytesIO(GOOD["bytes"])) as good:
        entries = {info.filename: good.read(info) for info in good.infolist()}
    told = {**json.loads(entries.pop("pack.json")), **TOLD.get(change, {})}
    if change in CHANGED:
        entries["taxi.yaml"] = CHANGED[change](entries["taxi.yaml"])
    if change == "lacks":
        del entries["taxi.yaml"]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("pack.json", json.dumps(told))
        for name, data in [*entries.items(), *EXTRA.get(change, [])]:
            archive.writestr(name, data)
    return path


GOOD: dict[str, bytes] = {}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("sum", "checksum differs"),
        ("climbs", "is not on its list"),
        ("absolute", "is not on its list"),
        ("drive", "is not on its list"),
        ("device", "is not on its list"),
        ("program", "is not on its list"),
        ("unnamed", "is not on its list"),
        ("link", "not a plain file"),
        ("many", "at most 300"),
        ("bomb", "more than 1 MB"),
        ("lacks", "lacks taxi.yaml"),
        ("climbing-name", "not a usable name"),
        ("named-outside", "a pack may not hold"),
        ("no-author", "does not state its author"),
        ("list", "not a pack"),
    ],
)
def test_a_hostile_pack_is_refused_with_one_sentence(
    tmp_path: Path, change: str, says: str
) -> None:
    GOOD["bytes"] = packed_bytes(made_pack(tmp_path / "a").pack)
    path = hostile(tmp_path / "pack.zip", change)
    with pytest.raises(ChecklistInvalid, match=says) as caught:
        read_pack(path)
    assert "\n" not in caught.value.message
    assert caught.value.hint


@pytest.mark.parametrize("content", [b"", b"no zip", b"PK\x03\x04 cut short"])
def test_what_is_no_pack_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "pack.zip"
    path.write_bytes(content)
    with pytest.raises(ChecklistInvalid, match="not a pack"):
        read_pack(path)


def test_two_files_of_one_name_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "pack.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.yaml", b"1")
        with pytest.warns(UserWarning, match="Duplicate"):
            archive.writestr("a.yaml", b"2")
    with pytest.raises(ChecklistInvalid, match="twice"):
        read_pack(path)


def test_a_list_with_an_error_is_not_packed(tmp_path: Path) -> None:
    with pytest.raises(ChecklistInvalid, match="has an error"):
        made_pack(tmp_path / "a", LIST.replace("response: up", "respond: up"))
