"""``callout bench sounds``: damaged recordings and wild streams; no crash, bounded memory."""

from __future__ import annotations

import io
import random
import struct
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np

from callout.bench.load import peak_mb
from callout.core.sentences.commands import benches as sentences
from callout.errors import AudioInvalid
from callout.hearing.resample import ToPort
from callout.hearing.wav_file import BLOCK, WavSource
from callout.ports.hearing import SAMPLE_RATE

SLOW_S = 5.0
"""Processor seconds, which other programs do not lengthen."""
SHAPES = (
    ("WAV", "PCM_16"), ("WAV", "PCM_U8"), ("WAV", "PCM_24"), ("WAV", "PCM_32"), ("WAV", "FLOAT"),
    ("WAV", "DOUBLE"), ("WAV", "ULAW"), ("WAVEX", "PCM_16"), ("WAVEX", "PCM_24"),
    ("WAVEX", "FLOAT"), ("RF64", "PCM_16"),
)  # fmt: skip
"""Headers and sample formats that recorders and editors write."""
RATES = (8_000, 11_025, 16_000, 44_100, 48_000)
_HEADER = 120
"""Bytes at the beginning in which nearly all damage matters."""
_NUMBERS = (0, 1, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF, 0x80000000)


@dataclass(frozen=True, slots=True)
class SoundFailure:
    """One input that was not handled as it should be."""

    seed: int
    what: str
    content: bytes


def whole_recording(rng: random.Random) -> bytes:
    """Return a short recording in one of the usual shapes, rates and channel counts."""
    import soundfile

    form, sort = rng.choice(SHAPES)
    channels = rng.choice((1, 1, 2, 6))
    noise = np.random.default_rng(rng.randrange(2**32)).normal(
        0.0, 0.2, (rng.randrange(900), channels)
    )
    out = io.BytesIO()
    soundfile.write(out, np.clip(noise, -1, 1), rng.choice(RATES), format=form, subtype=sort)
    return out.getvalue()


def damaged_recording(rng: random.Random, content: bytes) -> bytes:
    """Return a recording with one to four things done to it."""
    data = bytearray(content)
    for _ in range(rng.choice((1, 1, 2, 4))):
        place = rng.randrange(min(len(data), rng.choice((_HEADER, 1 << 20))) or 1)
        match rng.randrange(6):
            case 0:
                data[place : place + 1] = bytes([rng.randrange(256)])
            case 1:
                number = struct.pack("<I", rng.choice(_NUMBERS))
                data[place : place + rng.choice((2, 4))] = number
            case 2:
                del data[rng.randrange(len(data) + 1) :]
            case 3:
                del data[place : place + rng.randrange(1, 9)]
            case 4:
                data[place:place] = rng.randbytes(rng.randrange(1, 9))
            case 5:
                data += data[place:]
    return bytes(data)


def read_recording(path: Path) -> str:
    """Read a recording as a session does and return the result; raises if that is wrong."""
    source = None
    count = 0
    try:
        source = WavSource(path)
        most = 2 * path.stat().st_size * SAMPLE_RATE // source.rate + 4 * BLOCK
        for block in source.blocks():
            if block.shape != (BLOCK,) or block.dtype != np.int16:
                raise ValueError(f"a block of {block.shape} {block.dtype}")
            count += BLOCK
            if count > most:
                raise ValueError(f"more than {most} samples from {path.stat().st_size} bytes")
    except AudioInvalid as error:
        if str(path) not in error.message or not error.hint:
            raise ValueError(f"a refusal without file or remedy: {error.message}") from error
        return "refused"
    finally:
        if source:
            source.close()
    return "read" if count else "empty"


def stream_samples(rng: random.Random) -> str:
    """Feed a converter as a wild device would; raises at a wrong result."""
    rate, channels = rng.choice((*RATES, 96_000, 192_000)), rng.choice((1, 2, 8))
    noise = np.random.default_rng(rng.randrange(2**32))
    convert = ToPort(rate)
    given = made = 0
    for _ in range(rng.randrange(1, 20)):
        frames = noise.normal(0.0, 10 ** rng.uniform(-6, 6), (rng.randrange(2_000), channels))
        for value in (np.nan, np.inf, -np.inf):
            frames[noise.random(frames.shape) < rng.choice((0.0, 0.05))] = value
        samples = convert.convert(frames.astype(np.float32))
        if samples.dtype != np.int16 or samples.ndim != 1:
            raise ValueError(f"{samples.ndim} dimensions of {samples.dtype}")
        given, made = given + len(frames), made + len(samples)
    made += len(convert.convert(np.zeros((0, channels), np.float32), last=True))
    if abs(made - given * SAMPLE_RATE / rate) > 2:
        raise ValueError(f"{made} samples from {given} at {rate}")
    return "converted"


def run_inputs(count: int, first: int) -> Iterator[tuple[str, SoundFailure | None]]:
    """Yield what became of each of ``count`` inputs; every tenth is a stream."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "damaged.wav"
        for seed in range(first, first + count):
            rng = random.Random(seed)
            content = b"" if seed % 10 == 0 else damaged_recording(rng, whole_recording(rng))
            path.write_bytes(content)
            began = time.process_time()
            try:
                outcome = stream_samples(rng) if seed % 10 == 0 else read_recording(path)
            except Exception as error:  # anything that escapes is what we are looking for
                yield "failed", SoundFailure(seed, f"{type(error).__name__}: {error}", content)
                continue
            slow = time.process_time() - began > SLOW_S
            yield outcome, SoundFailure(seed, "slow", content) if slow else None


@click.command("sounds", short_help=sentences.BENCH_SOUNDS)
@click.option("--count", type=click.IntRange(1), default=20_000, show_default=True)
@click.option("--first", type=int, default=0, help=sentences.FIRST_SEED)
@click.option("--keep", type=click.Path(path_type=Path), help=sentences.KEEP)
def command(count: int, first: int, keep: Path | None) -> None:
    """Damage recordings of every usual shape and read each as a session does.

    Each must give blocks of samples, or one sentence that names the file and a remedy. The exit
    code is 1 if one did not, or took more than five seconds.
    """
    outcomes: Counter[str] = Counter()
    failures = 0
    for outcome, failure in run_inputs(count, first):
        outcomes[outcome] += 1
        if failure:
            failures += 1
            click.echo(f"seed {failure.seed}: {failure.what[:200]}")
            if keep:
                keep.mkdir(parents=True, exist_ok=True)
                (keep / f"{failure.seed}.wav").write_bytes(failure.content)
    told = ", ".join(f"{n} {what}" for what, n in sorted(outcomes.items()))
    click.echo(f"{count} inputs: {told}; {failures} failed; {peak_mb():.0f} MB at most")
    sys.exit(1 if failures else 0)
