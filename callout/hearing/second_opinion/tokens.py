"""Byte-pair tokens of the published speech model (Sennrich et al., 2016, over bytes)."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping

_PARTS = re.compile(r"'(?:s|t|re|ve|m|ll|d)| ?[^\W\d_]+| ?\d+| ?(?:[^\s\w]|_)+|\s+")
"""Merges never cross these: endings, words, figures, signs, each with the space before it."""


def _signs() -> dict[int, str]:
    """Return the character each byte is written as: itself if printable, else one from 256 on."""
    plain = [*range(0x21, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x100)]
    rest = [byte for byte in range(256) if byte not in plain]
    return {byte: chr(byte) for byte in plain} | {b: chr(256 + n) for n, b in enumerate(rest)}


class TextTokens:
    """Text to token numbers and back."""

    def __init__(self, numbers: Mapping[str, int], merges: Iterable[str]) -> None:
        self._signs = _signs()
        self._bytes = {sign: byte for byte, sign in self._signs.items()}
        self._numbers = numbers
        self._texts = [""] * (max(numbers.values(), default=-1) + 1)
        for text, number in numbers.items():
            self._texts[number] = text
        self._rank = {merge: place for place, merge in enumerate(merges)}

    @classmethod
    def from_json(cls, data: bytes | memoryview) -> TextTokens:
        """Read the published file: a vocabulary, and pairs in the order they are merged."""
        model = json.loads(bytes(data))["model"]
        return cls(model["vocab"], model["merges"])

    def encode(self, text: str) -> tuple[int, ...]:
        """Return the tokens of ``text``; a text that follows another begins with a space."""
        return tuple(n for part in _PARTS.findall(text) for n in self._of_part(part))

    def decode(self, tokens: Iterable[int]) -> str:
        """Return the text of ``tokens`` without marks; damaged UTF-8 is replaced, never raised."""
        known = range(len(self._texts))
        joined = "".join(self._texts[token] for token in tokens if token in known)
        return bytes(self._bytes[sign] for sign in joined).decode("utf-8", "replace").strip()

    def _of_part(self, part: str) -> list[int]:
        pieces = [self._signs[byte] for byte in part.encode()]
        while (at := self._best_merge(pieces)) is not None:
            pieces[at : at + 2] = [pieces[at] + pieces[at + 1]]
        return [self._numbers[piece] for piece in pieces]

    def _best_merge(self, pieces: list[str]) -> int | None:
        ranked = [
            (rank, at)
            for at in range(len(pieces) - 1)
            if (rank := self._rank.get(f"{pieces[at]} {pieces[at + 1]}")) is not None
        ]
        return min(ranked)[1] if ranked else None
