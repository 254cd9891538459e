"""The voice's weights, as shipped in the package."""

from __future__ import annotations

from dataclasses import dataclass

from callout.arithmetic import Floats as Floats
from callout.arithmetic import PackedWeights, shipped_arrays

FILE = "data/speaking/voice.npz"


@dataclass(frozen=True)
class VoiceWeights(PackedWeights):
    """The weights of the voice."""

    @classmethod
    def shipped(cls) -> VoiceWeights:
        """Read the package's file; raises ModelNotFound if the installation lacks it."""
        return cls(shipped_arrays(FILE, "The built-in voice's"))

    @property
    def signs(self) -> dict[str, int]:
        """The network's number of each sound symbol."""
        signs = self.arrays["signs"].tobytes().decode()
        return dict(zip(signs, map(int, self.arrays["numbers"]), strict=True))
