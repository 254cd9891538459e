"""The recordings are what their manifest says."""

from __future__ import annotations

import csv
import wave
from pathlib import Path

import pytest

from callout.app.shared.naming import state_recording
from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.bench.fixtures import COLUMNS, rows
from callout.bench.told.recorded import recorded_stream

FOLDER = shipped_folder(RECORDINGS)
with (FOLDER / "manifest.csv").open(encoding="utf-8", newline="") as stream:
    MANIFEST = list(csv.DictReader(stream))


def test_every_recording_is_listed_and_every_listed_one_is_there() -> None:
    there = {path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.wav")}
    assert {row["file"] for row in MANIFEST} == there


def test_the_manifest_is_what_the_script_writes() -> None:
    assert [tuple(row[column] for column in COLUMNS) for row in MANIFEST] == list(rows())


def test_the_recorded_state_is_what_the_simulated_aircraft_tells() -> None:
    name, text = recorded_stream()
    assert (FOLDER / "state" / f"{name}.jsonl").read_text(encoding="utf-8") == text
    assert state_recording(Path(name)).is_file()


@pytest.mark.parametrize("row", MANIFEST, ids=lambda row: row["file"])
def test_a_recording_is_as_the_port_wants_it_and_says_where_it_is_from(
    row: dict[str, str],
) -> None:
    with wave.open(str(Path(FOLDER / row["file"]))) as sound:
        assert (sound.getnchannels(), sound.getsampwidth(), sound.getframerate()) == (1, 2, 16_000)
        assert 0.3 < sound.getnframes() / 16_000 < 10
    assert row["made"]
    assert row["licence"] in {"MIT, as the project", "CC BY 4.0", "Apache-2.0"}


def test_human_recordings_are_attributed() -> None:
    """CC BY 4.0, section 3(a): creator, licence, link and changes; Apache-2.0, section 4."""
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    for needed in ("Warden", "creativecommons.org/licenses/by/4.0", "unchanged", "Picovoice"):
        assert needed in text
