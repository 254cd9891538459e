"""Takes the arrays of the chain model's network out of its file.

Only the branch that gives the chain's scores is taken. What normalises (y = (x - mean) * target /
sqrt(variance + epsilon)) becomes one scale and one offset; a part that changes nothing when the
network runs (dropout, no operation) has no array.
"""

from __future__ import annotations

import re

import numpy as np

from callout.bench.fitting.kaldi_files import Array, BinaryFile, Component, components_of

Arrays = dict[str, Array]
_FACTORED = re.compile(r"(tdnnf\d+)\.linear")
_NORMS = {
    "delta": ("delta.scale", "delta.offset"),
    "tdnn1.batchnorm": ("tdnn1.scale", "tdnn1.offset"),
    "prefinal-chain.batchnorm1": ("chain.scale1", "chain.offset1"),
    "prefinal-chain.batchnorm2": ("chain.scale2", "chain.offset2"),
}
_AFFINE = {
    "tdnn1.affine": ("tdnn1.weight", "tdnn1.bias"),
    "prefinal-chain.affine": ("chain.affine", "chain.bias"),
    "output.affine": ("output.weight", "output.bias"),
}
_LINEAR = {"prefinal-l": "prefinal", "prefinal-chain.linear": "chain.linear"}


def network_arrays(data: bytes, name: str) -> Arrays:
    """Return the arrays by our names; raises ModelNotFound if the file is damaged."""
    parts = components_of(data, name)
    try:
        return _taken(parts)
    except KeyError as error:
        raise BinaryFile(data, name).damaged() from error


def _taken(parts: dict[str, Component]) -> Arrays:
    arrays: Arrays = {}
    for theirs, (scale, offset) in _NORMS.items():
        arrays[scale], arrays[offset] = folded_norm(parts[theirs])
    for theirs, (weight, bias) in _AFFINE.items():
        arrays[weight] = narrowed(parts[theirs].array("LinearParams"))
        arrays[bias] = parts[theirs].array("BiasParams")
    for theirs, ours in _LINEAR.items():
        arrays[ours] = narrowed(parts[theirs].array("Params"))
    for layer in (found[1] for name in parts if (found := _FACTORED.fullmatch(name))):
        arrays |= _factored(parts, layer)
    return arrays


def _factored(parts: dict[str, Component], layer: str) -> Arrays:
    """Return a layer whose matrix is the product of two, each with frames of its own."""
    arrays: Arrays = {}
    for half in ("linear", "affine"):
        part = parts[f"{layer}.{half}"]
        arrays[f"{layer}.{half}"] = narrowed(part.array("LinearParams"))
        arrays[f"{layer}.{half}.offsets"] = part.whole_numbers("TimeOffsets")
    arrays[f"{layer}.bias"] = parts[f"{layer}.affine"].array("BiasParams")
    arrays[f"{layer}.scale"], arrays[f"{layer}.offset"] = folded_norm(parts[f"{layer}.batchnorm"])
    return arrays


def folded_norm(part: Component) -> tuple[Array, Array]:
    """Return scale and offset of a part that normalises."""
    spread = np.sqrt(part.array("StatsVar") + np.float32(part.real("Epsilon")))
    scale = (np.float32(part.real("TargetRms")) / spread).astype(np.float32)
    return scale, (-part.array("StatsMean") * scale).astype(np.float32)


def narrowed(matrix: Array) -> Array:
    """Return a matrix in 16 bits."""
    return matrix.astype(np.float16)
