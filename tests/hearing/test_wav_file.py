"""WAV files of every usual shape."""

from __future__ import annotations

import struct
import threading
import tracemalloc
import wave
from pathlib import Path

import numpy as np
import pytest

from callout.errors import AudioInvalid
from callout.hearing.wav_file import BLOCK, WavSource, read_wav
from tests.hearing import wav_bytes
from tests.hearing.wav_bytes import A_LAW, EXTENSIBLE, FLOAT, MU_LAW, chunk, pcm24, rf64, wav

RAMP = (np.arange(4000) * np.tile([8, -8], 2000)).astype("<i2")
"""Different values everywhere, without an offset over any stretch of it."""


def _write(folder: Path, content: bytes, name: str = "sound.wav") -> Path:
    path = folder / name
    path.write_bytes(content)
    return path


def _tone(rate: int, hertz: float = 440.0, seconds: float = 0.5, level: float = 0.5) -> np.ndarray:
    return level * np.sin(2 * np.pi * hertz * np.arange(round(rate * seconds)) / rate)


@pytest.mark.parametrize(
    ("data", "options"),
    [
        (RAMP.tobytes(), {}),
        (RAMP.tobytes(), {"tag": EXTENSIBLE}),
        (RAMP.tobytes(), {"before": chunk(b"LIST", b"INFOISFT\5\0\0\0test\0")}),
        (RAMP.tobytes(), {"before": chunk(b"bext", b"x" * 601)}),
        (RAMP.tobytes(), {"after": chunk(b"LIST", b"odd length.")}),
        (np.repeat(RAMP, 2).tobytes(), {"channels": 2}),
        (np.repeat(RAMP, 6).tobytes(), {"channels": 6, "tag": EXTENSIBLE}),
        (pcm24([int(v) << 8 for v in RAMP]), {"bits": 24}),
        (pcm24([int(v) << 8 for v in RAMP]), {"bits": 24, "tag": EXTENSIBLE}),
        ((RAMP.astype("<i4") << 16).tobytes(), {"bits": 32}),
        ((RAMP / 32768).astype("<f4").tobytes(), {"bits": 32, "tag": FLOAT}),
        ((RAMP / 32768).astype("<f8").tobytes(), {"bits": 64, "tag": FLOAT}),
        ((RAMP / 32768).astype("<f4").tobytes(), {"bits": 32, "tag": EXTENSIBLE, "inner": FLOAT}),
    ],
)
def test_every_sample_format_gives_the_same_samples(
    tmp_path: Path, data: bytes, options: dict[str, object]
) -> None:
    path = _write(tmp_path, wav(data, **options))  # type: ignore[arg-type]
    assert np.array_equal(read_wav(path), RAMP)


def test_eight_bits_are_unsigned(tmp_path: Path) -> None:
    steps = np.arange(256, dtype=np.uint8)
    steps[::2] = steps[::2][::-1]  # neighbours cancel, so there is no offset
    found = read_wav(_write(tmp_path, wav(steps.tobytes(), bits=8)))
    assert np.array_equal(found, (steps.astype(np.int32) - 128) * 256)


@pytest.mark.parametrize(
    ("tag", "codes", "values"),
    [
        # ITU-T G.711 tables 2a/2b and 1a/1b, decoder output scaled to 16 bits (from memory).
        (MU_LAW, b"\x00\x80\xff\x7f", [-32124, 32124, 0, 0]),
        (A_LAW, b"\xd5\x55\x2a\xaa", [8, -8, -32256, 32256]),
    ],
)
def test_telephone_codings(tmp_path: Path, tag: int, codes: bytes, values: list[int]) -> None:
    path = _write(tmp_path, wav(codes * 200, bits=8, tag=tag))
    assert read_wav(path)[:4].tolist() == values


def test_rf64_is_read(tmp_path: Path) -> None:
    assert np.array_equal(read_wav(_write(tmp_path, rf64(RAMP.tobytes()))), RAMP)


def test_python_wave_module_agrees(tmp_path: Path) -> None:
    path = tmp_path / "module.wav"
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", ""))
        out.writeframes(RAMP.tobytes())
    assert np.array_equal(read_wav(path), RAMP)


@pytest.mark.parametrize("rate", [8_000, 11_025, 22_050, 32_000, 44_100, 48_000, 96_000, 192_000])
def test_any_rate_keeps_pitch_level_and_length(tmp_path: Path, rate: int) -> None:
    data = (_tone(rate) * 32767).astype("<i2").tobytes()
    found = read_wav(_write(tmp_path, wav(data, rate=rate))).astype(float)
    assert abs(len(found) - 8_000) <= 2
    expected = _tone(16_000) * 32767
    inner = slice(500, 7_500)
    assert np.abs(found[inner] - expected[inner]).max() < 330  # 1 % of full scale


def test_what_16_khz_cannot_carry_is_filtered_not_folded(tmp_path: Path) -> None:
    data = (_tone(48_000, hertz=12_000) * 32767).astype("<i2").tobytes()
    found = read_wav(_write(tmp_path, wav(data, rate=48_000))).astype(float)
    assert np.sqrt(np.square(found[500:-500]).mean()) < 16384 / 1000  # 60 dB down


def test_blocks_are_whole_and_the_last_is_padded(tmp_path: Path) -> None:
    source = WavSource(_write(tmp_path, wav(RAMP[:1100].tobytes())))
    blocks = list(source.blocks())
    assert [len(b) for b in blocks] == [BLOCK] * 3
    joined = np.concatenate(blocks)
    assert np.array_equal(joined[:1100], RAMP[:1100])
    assert not joined[1100:].any()
    assert source.name == "sound.wav"
    assert np.array_equal(np.concatenate(list(source.blocks())), joined)
    source.close()


def test_one_dead_and_two_opposed_channels_are_heard(tmp_path: Path) -> None:
    tone = (_tone(16_000) * 32767).astype("<i2")
    dead = np.stack([tone, np.zeros_like(tone)], axis=1).tobytes()
    opposed = np.stack([tone, -tone], axis=1).tobytes()
    for data in (dead, opposed):
        found = read_wav(_write(tmp_path, wav(data, channels=2)))
        assert np.abs(found).max() > 8_000


def test_an_offset_is_removed(tmp_path: Path) -> None:
    tone = _tone(16_000, seconds=2, level=0.2) + 0.3
    data = (tone * 32767).astype("<i2").tobytes()
    found = read_wav(_write(tmp_path, wav(data))).astype(float) / 32768
    assert abs(found.mean()) < 0.012
    assert 0.15 < np.abs(found).max() < 0.25


def test_floats_beyond_full_scale_and_no_numbers_are_tamed(tmp_path: Path) -> None:
    wild = np.array([0.0, 9.0, -9.0, np.nan, np.inf, -np.inf] * 100, "<f4")
    found = read_wav(_write(tmp_path, wav(wild.tobytes(), bits=32, tag=FLOAT)))
    assert found.dtype == np.int16
    assert found[:6].tolist() == [0, 32767, -32768, 0, 32767, -32768]


def test_nothing_recorded_is_no_blocks(tmp_path: Path) -> None:
    source = WavSource(_write(tmp_path, wav(b"")))
    assert list(source.blocks()) == []
    assert len(read_wav(source.path)) == 0
    source.close()


@pytest.mark.parametrize("claimed", [0xFFFFFFFF, 0x7FFFFFFF, 0x7FFFF000, 999_999])
def test_a_length_too_large_is_read_to_the_end(tmp_path: Path, claimed: int) -> None:
    content = bytearray(wav(RAMP.tobytes()))
    content[40:44] = struct.pack("<I", claimed)
    assert np.array_equal(read_wav(_write(tmp_path, bytes(content))), RAMP)


def test_a_file_cut_short_is_read_as_far_as_it_goes_and_says_so(tmp_path: Path) -> None:
    whole = wav(RAMP.tobytes())
    source = WavSource(_write(tmp_path, whole[:1045]))
    assert source.cut_short
    assert np.array_equal(np.concatenate(list(source.samples())), RAMP[:500])
    source.close()
    whole_source = WavSource(_write(tmp_path, whole))
    assert not whole_source.cut_short
    whole_source.close()


def test_a_recording_never_finished_is_refused(tmp_path: Path) -> None:
    content = bytearray(wav(RAMP.tobytes()))
    content[4:8] = struct.pack("<I", 36)
    content[40:44] = struct.pack("<I", 0)
    with pytest.raises(AudioInvalid, match="is incomplete"):
        WavSource(_write(tmp_path, bytes(content)))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"RIFF", "is not a WAV file"),
        (b"ID3\x04 this is no recording at all", "is not a WAV file"),
        (b"fLaC" + bytes(100), "is not a WAV file"),
        (b"RIFF\x24\0\0\0AVI " + bytes(100), "is not a WAV file"),
        (b"RIFF\x04\0\0\0WAVE", "is not a usable WAV file"),
        (wav(b"\0\0" * 50, rate=1), "1 samples a second"),
        (wav(b"\0\0" * 50, rate=4_000_000), "4000000 samples a second"),
        (wav(b"\0\0" * 50, channels=0), "is not a usable WAV file"),
        (wav(b"\0\0" * 50, tag=0x1234), "is not a usable WAV file"),
    ],
)
def test_what_is_no_recording_is_named(tmp_path: Path, content: bytes, said: str) -> None:
    path = _write(tmp_path, content, "bad file.wav")
    with pytest.raises(AudioInvalid) as caught:
        WavSource(path)
    assert said in caught.value.message
    assert str(path) in caught.value.message
    assert caught.value.hint


def test_missing_files_and_folders_are_named(tmp_path: Path) -> None:
    with pytest.raises(AudioInvalid, match="No such file"):
        WavSource(tmp_path / "none.wav")
    with pytest.raises(AudioInvalid, match="is a directory"):
        WavSource(tmp_path)


def test_closing_ends_the_blocks_even_of_a_paced_source(tmp_path: Path) -> None:
    source = WavSource(_write(tmp_path, wav(bytes(2 * 16_000 * 3600))), realtime=True)
    taken: list[np.ndarray] = []
    listener = threading.Thread(target=lambda: taken.extend(source.blocks()))
    listener.start()
    source.close()
    source.close()
    listener.join(timeout=200)
    assert not listener.is_alive()
    assert len(taken) < 1000


def test_a_long_recording_takes_no_more_memory_than_a_moment(tmp_path: Path) -> None:
    """Twenty minutes: 38 MB, if they were kept anywhere."""
    path = tmp_path / "long.wav"
    frames = 20 * 60 * 8_000
    with path.open("wb") as out:
        out.write(wav_bytes.wav(b"", rate=8_000)[:-4] + struct.pack("<I", 2 * frames))
        out.truncate(44 + 2 * frames)
    source = WavSource(path)
    tracemalloc.start()
    count = sum(len(block) for block in source.blocks())
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    source.close()
    assert abs(count - 20 * 60 * 16_000) <= BLOCK
    assert peak < 8_000_000
