"""WAV files put together by hand from the published layout.

Chunks and PCM: "Multimedia Programming Interface and Data Specifications 1.0" (IBM and
Microsoft, 1991). Extensible header: "Multiple Channel Audio Data and WAVE Files" (Microsoft,
2001). RF64: EBU Tech 3306.
"""

from __future__ import annotations

import struct

PCM, FLOAT, A_LAW, MU_LAW, EXTENSIBLE = 1, 3, 6, 7, 0xFFFE
_GUID_TAIL = bytes.fromhex("000000001000800000aa00389b71")


def chunk(name: bytes, body: bytes) -> bytes:
    """Return a chunk, padded to an even length."""
    return name + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def fmt(*, rate: int, channels: int = 1, bits: int = 16, tag: int = PCM, inner: int = PCM) -> bytes:
    """Return a format chunk; ``inner`` is what ``EXTENSIBLE`` describes."""
    frame = channels * bits // 8
    body = struct.pack("<HHIIHH", tag, channels, rate, rate * frame, frame, bits)
    if tag == EXTENSIBLE:
        body += struct.pack("<HHIH", 22, bits, 0, inner) + _GUID_TAIL
    elif tag != PCM:
        body += struct.pack("<H", 0)
    return chunk(b"fmt ", body)


def wav(
    data: bytes,
    *,
    rate: int = 16_000,
    channels: int = 1,
    bits: int = 16,
    tag: int = PCM,
    inner: int = PCM,
    before: bytes = b"",
    after: bytes = b"",
) -> bytes:
    """Return a whole file around ``data``; ``before`` and ``after`` are chunks about it."""
    shape = fmt(rate=rate, channels=channels, bits=bits, tag=tag, inner=inner)
    body = b"WAVE" + shape + before + chunk(b"data", data) + after
    return b"RIFF" + struct.pack("<I", len(body)) + body


def rf64(data: bytes, *, rate: int = 16_000) -> bytes:
    """Return the file for recordings beyond 4 GB, here a short one."""
    frames = len(data) // 2
    rest = fmt(rate=rate) + b"data" + struct.pack("<I", 0xFFFFFFFF) + data
    size = 4 + 36 + len(rest)
    ds64 = chunk(b"ds64", struct.pack("<QQQI", size, len(data), frames, 0))
    return b"RF64" + struct.pack("<I", 0xFFFFFFFF) + b"WAVE" + ds64 + rest


def pcm24(values: list[int]) -> bytes:
    """Return 24-bit little-endian samples."""
    return b"".join(value.to_bytes(3, "little", signed=True) for value in values)
