"""Damaged recordings, in a number that fits a test run; `callout bench sounds` takes 20,000."""

from __future__ import annotations

import random
import tempfile
from collections import Counter
from pathlib import Path

import pytest
import soundfile

from callout.bench.sounds import SHAPES, read_recording, run_inputs, whole_recording
from callout.hearing.wav_file import WavSource


def test_a_thousand_damaged_recordings_are_read_or_refused() -> None:
    outcomes = list(run_inputs(1_000, 0))
    assert not [failure for _, failure in outcomes if failure]
    counted = Counter(outcome for outcome, _ in outcomes)
    assert counted["read"] > 100
    assert counted["refused"] > 100
    assert counted["converted"] == 100


def test_what_is_whole_is_read_in_every_shape(tmp_path: Path) -> None:
    path = tmp_path / "whole.wav"
    seen = set()
    for seed in range(150):
        path.write_bytes(whole_recording(random.Random(seed)))
        with soundfile.SoundFile(path) as file:
            seen.add(file.subtype)
            assert read_recording(path) == ("read" if file.frames else "empty")
    assert seen == {sort for _, sort in SHAPES}


def test_a_reader_that_makes_up_sound_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    honest = WavSource.blocks

    def endless(self: WavSource):  # type: ignore[no-untyped-def]
        for block in honest(self):
            yield from [block] * 50

    monkeypatch.setattr(WavSource, "blocks", endless)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x.wav"
        path.write_bytes(whole_recording(random.Random(3)))
        with pytest.raises(ValueError, match="more than"):
            read_recording(path)
