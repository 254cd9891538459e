"""The search through files: no mention hides on the edge of a block."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.privacy import leftover_search as traces
from callout.app.privacy.leftover_search import files_in, search_leftovers


@pytest.mark.parametrize("before", [*range(35, 62), 300])
def test_a_name_across_two_blocks_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, before: int
) -> None:
    monkeypatch.setattr(traces, "_BLOCK", 48)
    monkeypatch.setattr(traces, "_OVERLAP", 24)
    path = tmp_path / "x"
    path.write_bytes(b"\n" * before + b"Marla Quint" + b"\n" * 60)
    (found,) = search_leftovers([path], "Marla Quint", [], [tmp_path]).traces
    assert found.line == before + 1


def test_part_of_a_longer_word_is_no_name(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("Adapter and adam")
    assert not search_leftovers([tmp_path / "x"], "Ada", [], [tmp_path]).traces


def test_every_file_is_read_once_and_no_link_followed(tmp_path: Path) -> None:
    (tmp_path / "in" / "deep").mkdir(parents=True)
    (tmp_path / "in" / "deep" / "a").touch()
    (tmp_path / "in" / "loop").symlink_to(tmp_path / "in")
    names = [p.name for p in files_in([tmp_path / "in", tmp_path / "in" / "deep"])]
    assert sorted(names) == ["a", "loop"]
