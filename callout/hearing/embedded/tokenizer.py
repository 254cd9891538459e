"""Byte-pair tokens of the embedded network."""

from __future__ import annotations

SPACE = "▁"
FIRST_TEXT_TOKEN = 3


class Tokenizer:
    """Text to token numbers and back.

    The vocabulary file is a sequence of entries, each a length (one byte, or two with the high bit
    of the first set, low seven bits first) and that many bytes of UTF-8. A token's number is its
    position; merges happen in the order of numbers, as in the byte-pair scheme it was made with.
    """

    def __init__(self, entries: list[bytes]) -> None:
        self._entries = entries
        self._rank: dict[bytes, int] = {}
        for number, entry in enumerate(entries):
            # Single bytes occur twice: the later, textual one is what the network writes.
            if number >= FIRST_TEXT_TOKEN and (entry not in self._rank or len(entry) == 1):
                self._rank[entry] = number

    @classmethod
    def from_bytes(cls, data: bytes) -> Tokenizer:
        """Read a vocabulary; ValueError if it is damaged."""
        return cls(_vocabulary_entries(data))

    def encode(self, text: str) -> tuple[int, ...]:
        """Return the tokens of ``text``, without start and end marks.

        ValueError if a character is not in the vocabulary.
        """
        parts = [c.encode() for c in SPACE + text.replace(" ", SPACE)]
        while (at := self._best_merge(parts)) is not None:
            parts[at : at + 2] = [parts[at] + parts[at + 1]]
        try:
            return tuple(self._rank[p] for p in parts)
        except KeyError as error:
            raise ValueError(f"no token for {error.args[0]!r}") from None

    def decode(self, tokens: list[int]) -> str:
        """Return the text of ``tokens``; damaged UTF-8 is replaced, never raised."""
        joined = b"".join(self._entries[t] for t in tokens if t >= FIRST_TEXT_TOKEN)
        return joined.decode("utf-8", "replace").replace(SPACE, " ").strip()

    def _best_merge(self, parts: list[bytes]) -> int | None:
        ranked = [
            (rank, i)
            for i in range(len(parts) - 1)
            if (rank := self._rank.get(parts[i] + parts[i + 1])) is not None
        ]
        return min(ranked)[1] if ranked else None


def _vocabulary_entries(data: bytes) -> list[bytes]:
    entries: list[bytes] = []
    at = 0
    while at < len(data):
        length = data[at]
        at += 1
        if length >= 128 and at < len(data):
            length = length - 128 + data[at] * 128
            at += 1
        entries.append(data[at : at + length])
        at += length
    if at != len(data):
        raise ValueError("vocabulary file is cut short")
    return entries
