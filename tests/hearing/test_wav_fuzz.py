"""Damaged files: a clear refusal or samples, never anything else."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.errors import AudioInvalid
from callout.hearing.wav_file import BLOCK, WavSource, read_wav
from tests.hearing.wav_bytes import EXTENSIBLE, FLOAT, chunk, pcm24, rf64, wav

RAMP = (np.arange(1, 601) * np.tile([40, -40], 300)).astype("<i2")
WHOLE = [
    wav(RAMP.tobytes()),
    wav(np.repeat(RAMP, 2).tobytes(), channels=2, tag=EXTENSIBLE),
    wav(pcm24([int(v) << 8 for v in RAMP]), bits=24, before=chunk(b"LIST", b"INFOabc")),
    wav((RAMP / 32768).astype("<f4").tobytes(), bits=32, tag=FLOAT, rate=44_100),
    rf64(RAMP.tobytes()),
]


def _try(content: bytes) -> np.ndarray | None:
    """Return all blocks, or None for a refusal that names the file and a remedy."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fuzz.wav"
        path.write_bytes(content)
        source = None
        refusal = None
        try:
            source = WavSource(path)
            blocks = list(source.blocks())
        except AudioInvalid as error:
            refusal = error
        finally:
            if source:
                source.close()
        if refusal:
            assert str(path) in refusal.message
            assert refusal.hint
            return None
        assert all(b.shape == (BLOCK,) and b.dtype == np.int16 for b in blocks)
        return np.concatenate([np.zeros(0, np.int16), *blocks])


@pytest.mark.parametrize("whole", WHOLE[:3])
def test_cut_at_each_point(whole: bytes) -> None:
    heard = 0
    for end in (*range(130), *range(130, len(whole), 7)):
        found = _try(whole[:end])
        if found is not None and len(found):
            heard += 1
            first = found[: len(RAMP)]
            known = np.flatnonzero(first)
            good = first[: known[-1] + 1] if len(known) else first[:0]
            assert np.array_equal(good, RAMP[: len(good)])
    assert heard > 100


@settings(max_examples=400, deadline=None)
@given(
    whole=st.sampled_from(WHOLE),
    changes=st.lists(st.tuples(st.integers(0, 120), st.integers(0, 255)), min_size=1, max_size=8),
)
def test_random_bytes_in_the_header(whole: bytes, changes: list[tuple[int, int]]) -> None:
    content = bytearray(whole)
    for place, value in changes:
        content[place % len(content)] = value
    found = _try(bytes(content))
    # At the lowest rate a byte can become no more than two samples and one padded block.
    assert found is None or len(found) <= 2 * len(content) + BLOCK


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400), st.booleans())
def test_random_files(body: bytes, dressed: bool) -> None:
    _try(b"RIFF\xff\xff\xff\x0fWAVEfmt " + body if dressed else body)


@settings(max_examples=100, deadline=None)
@given(
    samples=st.lists(st.integers(-32768, 32767), max_size=2000),
    channels=st.sampled_from([1, 2, 3]),
)
def test_equal_channels_come_back_as_one(samples: list[int], channels: int) -> None:
    values = np.array([v for s in samples for v in (s, -max(s, -32767))], "<i2")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x.wav"
        path.write_bytes(wav(np.repeat(values, channels).tobytes(), channels=channels))
        assert np.array_equal(read_wav(path), np.clip(values, -32768, 32767))
