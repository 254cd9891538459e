"""The network's weights, as the package carries them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.errors import ModelNotFound

Floats = NDArray[np.float32]

FILE = "data/hearing/speech.npz"


@dataclass(frozen=True)
class Weights:
    """Arrays by name; 8-bit matrices have ``NAME.scale`` beside them: scale and zero point."""

    arrays: dict[str, NDArray[Any]]

    @classmethod
    def shipped(cls) -> Weights:
        """Read the package's file; raises ModelNotFound if the installation lacks it."""
        path = resources.files("callout") / FILE
        try:
            with path.open("rb") as file, np.load(file) as data:
                return cls({name: data[name] for name in data.files})
        except FileNotFoundError as error:
            message = "the built-in recogniser's weights are missing from this installation."
            raise ModelNotFound(message, "pip install --force-reinstall callout") from error

    @cached_property
    def tokens(self) -> bytes:
        """The vocabulary, in the form that ``Tokenizer`` reads."""
        return self.arrays["tokens"].tobytes()

    def plain(self, name: str) -> Floats:
        """Return a vector or kernel that is kept as it is."""
        return np.asarray(self.arrays[name], np.float32)

    def matrix(self, *names: str) -> Floats:
        """Return 8-bit matrices (in, out) as 32-bit numbers, side by side."""
        return np.concatenate([self._matrix(name) for name in names], axis=1)

    def _matrix(self, name: str) -> Floats:
        scale, zero = self.arrays[f"{name}.scale"]
        return np.asarray((self.arrays[name].astype(np.float32) - zero) * scale, np.float32)
