"""The network's weights, as shipped in the package."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from callout.arithmetic import Floats as Floats
from callout.arithmetic import PackedWeights, shipped_arrays

FILE = "data/hearing/speech.npz"


@dataclass(frozen=True)
class Weights(PackedWeights):
    """The weights of the recogniser."""

    @classmethod
    def shipped(cls) -> Weights:
        """Read the package's file; raises ModelNotFound if the installation lacks it."""
        return cls(shipped_arrays(FILE, "the built-in recogniser's"))

    @cached_property
    def tokens(self) -> bytes:
        """The vocabulary, in the form that ``Tokenizer`` reads."""
        return self.arrays["tokens"].tobytes()
