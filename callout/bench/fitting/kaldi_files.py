"""Reads the binary files of the speech toolkit Kaldi, from its published sources (Apache-2.0).

Such a file is a row of tokens, each followed by a space, with values between them. A number has a
byte before it that says how many bytes it takes; an array has its kind before it.
"""

from __future__ import annotations

import struct
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.core.sentences.commands import training as say
from callout.errors import ModelNotFound

Array = NDArray[Any]
_REALS: dict[bytes, Any] = {b"F": np.float32, b"D": np.float64}
_MATRIX, _VECTOR, _PACKED = b"M", b"V", b"P"


class BinaryFile:
    """The bytes of one file, and the place up to which they were read."""

    def __init__(self, data: bytes, name: str) -> None:
        self.name = name
        self._data = data
        self._at = 0

    def damaged(self) -> ModelNotFound:
        """Return the error that says where the file stops making sense."""
        return ModelNotFound(say.damaged_model_file(self.name, self._at), say.FETCH_CHAIN_WHEEL)

    def plain(self, form: str) -> Any:
        """Take one number as ``struct`` names it."""
        size = struct.calcsize(f"<{form}")
        if self._at + size > len(self._data):
            raise self.damaged()
        (value,) = struct.unpack_from(f"<{form}", self._data, self._at)
        self._at += size
        return value

    def block(self, kind: Any, count: int) -> Array:
        """Take so many numbers of one kind."""
        kind = np.dtype(kind)
        if count < 0 or self._at + count * kind.itemsize > len(self._data):
            raise self.damaged()
        values = np.frombuffer(self._data, kind, count, self._at)
        self._at += values.nbytes
        return values

    def number(self, form: str = "i") -> Any:
        """Take one number that has its size before it."""
        if self.plain("b") != struct.calcsize(f"<{form}"):
            raise self.damaged()
        return self.plain(form)

    def whole_numbers(self) -> Array:
        """Take a list of whole numbers."""
        if self.plain("b") != 4:
            raise self.damaged()
        return self.block("<i4", self.plain("i"))

    def token(self, *wanted: str) -> str:
        """Take a token, which must be one of those wanted."""
        end = self._data.find(b" ", self._at)
        found = self._data[self._at : end].decode("latin-1")
        if end < 0 or found not in wanted:
            raise self.damaged()
        self._at = end + 1
        return found

    def seek(self, token: str) -> None:
        """Go on behind the next such token, wherever it is."""
        mark = f"{token} ".encode()
        at = self._data.find(mark, self._at)
        if at < 0:
            raise self.damaged()
        self._at = at + len(mark)

    def array(self) -> Array:
        """Take a matrix, a vector, or the packed lower triangle of a symmetric matrix."""
        head = bytes(self.block(np.uint8, 3))
        real, shape = _REALS.get(head[:1]), head[1:2]
        if real is None or head[2:] != b" " or shape not in (_MATRIX, _VECTOR, _PACKED):
            raise self.damaged()
        rows = self.number()
        if shape == _VECTOR:
            return self.block(real, rows)
        if shape == _PACKED:
            return self.block(real, rows * (rows + 1) // 2)
        columns = self.number()
        return self.block(real, rows * columns).reshape(rows, columns)

    def after(self, token: str) -> Array:
        """Return the array behind the next such token."""
        self.seek(token)
        return self.array()


def components_of(data: bytes, name: str) -> dict[str, Component]:
    """Return the parts of a network by name."""
    pieces = data.split(b"<ComponentName> ")[1:]
    named = (piece.partition(b" ") for piece in pieces)
    return {title.decode("latin-1"): Component(body, name) for title, _, body in named}


class Component:
    """One part of a network: its fields, by name and in any order."""

    def __init__(self, data: bytes, file: str) -> None:
        self._data = data
        self._file = file

    def array(self, field: str) -> Array:
        """Return a matrix or vector."""
        return self._at(field).array()

    def real(self, field: str) -> float:
        """Return a number."""
        return float(self._at(field).number("f"))

    def whole_numbers(self, field: str) -> Array:
        """Return a list of whole numbers."""
        return self._at(field).whole_numbers()

    def _at(self, field: str) -> BinaryFile:
        file = BinaryFile(self._data, self._file)
        file.seek(f"<{field}>")
        return file
