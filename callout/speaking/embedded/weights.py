"""The voice's weights, as the package carries them."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.arithmetic import Floats
from callout.errors import ModelNotFound

FILE = "data/speaking/voice.npz"


@dataclass(frozen=True)
class VoiceWeights:
    """Arrays by name; 8-bit matrices have ``NAME.scale`` beside them: scale and zero point."""

    arrays: dict[str, NDArray[Any]]

    @classmethod
    def shipped(cls) -> VoiceWeights:
        """Read the package's file; raises ModelNotFound if the installation lacks it."""
        path = resources.files("callout") / FILE
        try:
            with path.open("rb") as file, np.load(file) as data:
                return cls({name: data[name] for name in data.files})
        except FileNotFoundError as error:
            message = "The built-in voice's weights are missing from this installation."
            raise ModelNotFound(message, "pip install --force-reinstall callout") from error

    @property
    def signs(self) -> dict[str, int]:
        """The network's number of each sign that sounds are written with."""
        signs = self.arrays["signs"].tobytes().decode()
        return dict(zip(signs, map(int, self.arrays["numbers"]), strict=True))

    def plain(self, name: str) -> Floats:
        """Return a vector or kernel that is kept as it is."""
        return np.asarray(self.arrays[name], np.float32)

    def matrix(self, name: str) -> Floats:
        """Return an 8-bit matrix (in, out) as 32-bit numbers."""
        scale, zero = self.arrays[f"{name}.scale"]
        return np.asarray((self.arrays[name].astype(np.float32) - zero) * scale, np.float32)
