"""Recordings one after the other."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from callout.errors import AudioInvalid
from callout.hearing.played import BLOCK, PlayedSource, Recording, recordings_in
from tests.hearing.wav_bytes import wav


def _recording(folder: Path, name: str, level: int, blocks: int = 4) -> Recording:
    path = folder / f"{name}.wav"
    path.write_bytes(wav(np.full(blocks * BLOCK, level, "<i2").tobytes(), rate=16_000))
    return Recording(path, name)


def test_each_recording_stands_between_silences(tmp_path: Path) -> None:
    """Silence is rounded to blocks of 32 ms: 0.064 s are two, 0.096 s are three."""
    queue = iter([_recording(tmp_path, "a", 100), _recording(tmp_path, "b", 200, 1)])
    source = PlayedSource(lambda: next(queue, None), before=0.064, after=0.096)
    levels = [int(np.median(block)) for block in source.blocks()]
    assert levels == [0, 0, *[100] * 4, 0, 0, 0, 0, 0, 200, 0, 0, 0, 0, 0]


def test_the_choice_is_made_when_the_one_before_is_over(tmp_path: Path) -> None:
    """What is asked meanwhile decides what is played next."""
    asked = ["a"]
    there = {name: _recording(tmp_path, name, 1000) for name in "ab"}
    played: list[str] = []
    source = PlayedSource(
        lambda: there.get(asked[0]), before=0, after=0, on_play=lambda r: played.append(r.words)
    )
    blocks = iter(source.blocks())
    next(blocks)
    asked[0] = "b"
    for _ in range(4):
        next(blocks)
    asked[0] = "nothing"
    assert sum(1 for _ in blocks) == 3
    assert played == ["a", "b"]


def test_paced_recordings_are_the_same(tmp_path: Path) -> None:
    queue = iter([_recording(tmp_path, "a", 1000)])
    source = PlayedSource(lambda: next(queue, None), before=0, after=0, speed=2.0)
    assert sum(1 for _ in source.blocks()) == 4


def test_a_damaged_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "bad.wav"
    path.write_text("not a recording")
    queue = iter([Recording(path)])
    with pytest.raises(AudioInvalid, match=r"bad\.wav is not a WAV file"):
        list(PlayedSource(lambda: next(queue, None)).blocks())


def test_folders_are_taken_by_name_and_files_as_given(tmp_path: Path) -> None:
    folder = tmp_path / "replies"
    folder.mkdir()
    for name in ("10", "2", "1"):
        _recording(folder, name, 1)
    (folder / "notes.txt").write_text("not played")
    single = _recording(tmp_path, "single", 1)
    found = [r.path.stem for r in recordings_in([single.path, folder])]
    assert found == ["single", "1", "10", "2"]


def test_nothing_to_play_is_an_error_with_a_remedy(tmp_path: Path) -> None:
    with pytest.raises(AudioInvalid, match="There is no WAV file in"):
        recordings_in([tmp_path])
    with pytest.raises(AudioInvalid, match="does not exist"):
        recordings_in([tmp_path / "gone.wav"])
