"""Kept replies: only ours, whole or not at all, readable by their owner, never a reason to stop."""

from __future__ import annotations

import os
import stat
import wave
from pathlib import Path

import numpy as np
import pytest

from callout.app.reports.moment_sounds import sound_address, sound_of
from callout.errors import CalloutError
from callout.journal.sound_files import SoundFiles, kept_sounds, sound_bytes, sound_folder

SOUND = (np.arange(4_000) % 701 * 40 - 14_000).astype(np.int16)


def test_a_sound_comes_back_sample_for_sample_and_is_its_owners(tmp_path: Path) -> None:
    journal = tmp_path / "20310504T120000Z-two-abc123.jsonl"
    assert SoundFiles().keep(journal, 12, SOUND) == ""
    assert kept_sounds(journal) == {12: sound_folder(journal) / "12.wav"}
    path = sound_of(journal, 12)
    with wave.open(str(path)) as file:
        assert file.readframes(99_999) == SOUND.tobytes()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert [p.name for p in path.parent.iterdir()] == ["12.wav"], "nothing half written is left"


def test_what_cannot_be_kept_is_one_sentence_and_is_said_once(tmp_path: Path) -> None:
    journal = tmp_path / "s.jsonl"
    sound_folder(journal).write_text("in the way")
    sounds = SoundFiles()
    said = sounds.keep(journal, 3, SOUND)
    assert said.startswith("The sound of replies is no longer kept: ")
    assert said.endswith(" The session continues.")
    assert sounds.keep(journal, 4, SOUND) == ""
    assert sound_folder(journal).read_text() == "in the way"
    assert kept_sounds(journal) == {}


def test_a_folder_that_leads_elsewhere_is_not_written_to_or_read(tmp_path: Path) -> None:
    journal, other = tmp_path / "s.jsonl", tmp_path / "other"
    other.mkdir()
    (other / "3.wav").write_bytes(b"theirs")
    sound_folder(journal).symlink_to(other)
    assert "is a link" in SoundFiles().keep(journal, 3, SOUND)
    assert (other / "3.wav").read_bytes() == b"theirs"
    assert kept_sounds(journal) == {}


@pytest.mark.parametrize(
    "name",
    ["0.wav", "012.wav", "-3.wav", "3.wav.part", "3.WAV", "99999999.wav", "a.wav", "3", "٣.wav"],
)
def test_other_names_are_none_of_ours(tmp_path: Path, name: str) -> None:
    journal = tmp_path / "s.jsonl"
    SoundFiles().keep(journal, 7, SOUND)
    (sound_folder(journal) / name).write_bytes(b"RIFF")
    assert list(kept_sounds(journal)) == [7]


def test_links_pipes_and_folders_are_left_out(tmp_path: Path) -> None:
    journal = tmp_path / "s.jsonl"
    SoundFiles().keep(journal, 7, SOUND)
    folder = sound_folder(journal)
    (tmp_path / "secret").write_text("secret")
    (folder / "8.wav").symlink_to(tmp_path / "secret")
    (folder / "9.wav").mkdir()
    os.mkfifo(folder / "10.wav")
    assert list(kept_sounds(journal)) == [7]
    with pytest.raises(CalloutError, match=r"Record 8 of .* has no sound; it has 7\."):
        sound_of(journal, 8)


@pytest.mark.parametrize("data", [b"", b"RIFF", b"x" * 5_000, b"RIFF\0\0\0\0WAVEfmt "])
def test_what_is_no_sound_is_one_sentence_and_is_left_out_of_a_page(
    tmp_path: Path, data: bytes
) -> None:
    path = tmp_path / "3.wav"
    path.write_bytes(data)
    with pytest.raises(CalloutError, match=r"3\.wav is not a readable sound: .*\."):
        sound_bytes(path)
    assert sound_address(path) == ""


def test_a_sound_far_too_long_is_refused(tmp_path: Path) -> None:
    journal = tmp_path / "s.jsonl"
    SoundFiles().keep(journal, 7, np.zeros(1_100_000, np.int16))
    with pytest.raises(CalloutError, match="is not the sound of a reply"):
        sound_bytes(sound_of(journal, 7))
