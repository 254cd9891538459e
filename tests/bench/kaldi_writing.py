"""Writes small files as Kaldi and OpenFst do (their published sources, from memory)."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import Any

import numpy as np

from callout.bench.fitting.kaldi_files import Array

FACTORED = ("tdnnf2", "tdnnf3")


def number(value: float, form: str = "i") -> bytes:
    return bytes([struct.calcsize(f"<{form}")]) + struct.pack(f"<{form}", value)


def whole_numbers(*values: int) -> bytes:
    return b"\x04" + struct.pack(f"<i{len(values)}i", len(values), *values)


def array(values: Array) -> bytes:
    kind = {"f4": b"F", "f8": b"D"}[values.dtype.str[1:]]
    shape = b"".join(number(size) for size in values.shape)
    return kind + (b"V " if values.ndim == 1 else b"M ") + shape + values.tobytes()


def packed(values: Array) -> bytes:
    """The lower triangle of a symmetric matrix of doubles."""
    return b"DP " + number(len(values)) + values[np.tril_indices(len(values))].tobytes()


def component(name: str, **fields: Any) -> bytes:
    told = b"<ComponentName> " + name.encode() + b" <SomeComponent> "
    for field, value in fields.items():
        made = value if isinstance(value, bytes) else array(value)
        told += f"<{field}> ".encode() + made
    return told + b"</SomeComponent> "


def norm(name: str, mean: Array, variance: Array) -> bytes:
    numbers = {"Epsilon": number(0.001, "f"), "TargetRms": number(2.0, "f")}
    return component(name, **numbers, StatsMean=mean, StatsVar=variance)


def network(seed: int = 4) -> tuple[bytes, dict[str, Array]]:
    """Every part that is taken, 3 wide, and one that is not; also what went in."""
    draw = np.random.default_rng(seed)
    made: dict[str, Array] = {}

    def some(name: str, *shape: int) -> Array:
        made[name] = draw.uniform(0.1, 2, shape).astype(np.float32)
        return made[name]

    norms = ["delta", "tdnn1.batchnorm", "prefinal-chain.batchnorm1", "prefinal-chain.batchnorm2"]
    norms += [f"{layer}.batchnorm" for layer in FACTORED]
    told = b"".join(norm(n, some(f"{n}.mean", 3), some(f"{n}.variance", 3)) for n in norms)
    for name in ("tdnn1.affine", "prefinal-chain.affine", "output.affine", "output-xent.affine"):
        bias = some(f"{name}.bias", 3)
        told += component(name, LinearParams=some(name, 3, 3), BiasParams=bias)
    for name in ("prefinal-l", "prefinal-chain.linear"):
        told += component(name, Params=some(name, 3, 3))
    for layer in FACTORED:
        for half, offsets in (("linear", (-1, 0)), ("affine", (0, 1))):
            told += component(
                f"{layer}.{half}",
                TimeOffsets=whole_numbers(*offsets),
                LinearParams=some(f"{layer}.{half}", 3, 6),
                BiasParams=some(f"{layer}.{half}.bias", 3),
            )
    return told, made


def transitions(tuples: Sequence[tuple[int, int, int]]) -> bytes:
    """Phones with one sounding state each: number of the phone, its score at entry, in the loop."""
    phones = [phone for phone, _, _ in tuples]
    told = b"\0B<TransitionModel> <Topology> " + whole_numbers(*phones)
    told += whole_numbers(*[0] * (max(phones) + 1)) + number(-1) + number(1)  # one kind of phone
    sounding = number(0) + number(1) + number(2)
    sounding += number(0) + number(0.5, "f") + number(1) + number(0.5, "f")
    told += number(2) + sounding + number(-1) + number(-1) + number(0)
    told += b"</Topology> <Tuples> " + number(len(tuples))
    for phone, entry, loop in tuples:
        told += number(phone) + number(0) + number(entry) + number(loop)
    return told + b"</Tuples> "


def graph(states: int, arcs: Sequence[tuple[int, int, int]]) -> bytes:
    """Arcs are origin, number of the transition, and where they lead; the first state begins."""

    def header(kind: bytes, count: int, arc_count: int) -> bytes:
        kinds = b"".join(struct.pack("<i", len(text)) + text for text in (kind, b"standard"))
        return (
            struct.pack("<I", 0x7EB2FDD6)
            + kinds
            + struct.pack("<iiQqqq", 2, 0, 0, 0, count, arc_count)
        )

    ordered = sorted(arcs)
    told = header(b"olabel_lookahead", 0, 0) + struct.pack("<I", 446681434)
    told += header(b"const", states, len(arcs))
    for state in range(states):
        own = [arc for arc in ordered if arc[0] == state]
        first = sum(arc[0] < state for arc in ordered)
        told += struct.pack("<fIIII", 0.0, first, len(own), 0, 0)
    return told + b"".join(struct.pack("<iifi", entry, 0, 0.0, to) for _, entry, to in ordered)
