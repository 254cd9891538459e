"""A checksum for each record that also contains that of the previous record: a chain.

A line ends with ``"prev":"…","sum":"…"}``: the sum of the previous record, and the first 16 hex
digits of the SHA-256 of this line up to that point. Nothing in it is secret. It reveals damage, and
lines inserted, removed or moved. It does not reveal that somebody recreated the whole journal:
sign-offs do.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from typing import Final

DIGITS: Final = 16
START: Final = "0" * DIGITS
"""The previous sum in the first record."""
UNSEALED: Final = "its checksum is missing"
_SEAL: Final = re.compile(rb',"prev":"([0-9a-f]{16})","sum":"([0-9a-f]{16})"\}')
_SEAL_SIZE: Final = len(',"prev":"","sum":""}') + 2 * DIGITS
_OWN_SIZE: Final = len(',"sum":""}') + DIGITS


def seal_line(body: bytes, before: str) -> tuple[bytes, str]:
    """Return the line for ``body`` (a JSON object without its line end), and its sum."""
    start = body[:-1] + f',"prev":"{before}"'.encode()
    own = _sealing_digest(start)
    return start + f',"sum":"{own}"}}\n'.encode(), own


def is_sealed(line: bytes) -> bool:
    """Say whether a line contains a seal, intact or not."""
    return b'","sum":"' in line or b',"prev":"' in line


def unseal_line(line: bytes) -> tuple[bytes, str, str] | None:
    """Return body, previous sum and own sum of a sealed line; None if the seal does not match."""
    seal = _seal_of(line)
    if seal is None or not line.endswith(b"\n"):
        return None
    named, own = (group.decode() for group in seal.groups())
    if _sealing_digest(line[: seal.start(2) - len(',"sum":"')]) != own:
        return None
    return line[: seal.start()] + b"}", named, own


def _seal_of(line: bytes) -> re.Match[bytes] | None:
    return _SEAL.fullmatch(line, len(line) - _SEAL_SIZE - 1, len(line) - 1)


def chain_sum(lines: Sequence[bytes], data: bytes) -> str | None:
    """Return the sum of the last line where all are sealed and in order, or none is.

    lines: whole ones without their ends. data: the same together. None: look closer.
    """
    if not is_sealed(data):
        return hashlib.sha256(data).hexdigest()[:DIGITS]
    before, size = START, -_OWN_SIZE
    for line in lines:
        own = hashlib.sha256(line[:size]).hexdigest()[:DIGITS]
        if line[-_SEAL_SIZE:] != f',"prev":"{before}","sum":"{own}"}}'.encode():
            return None
        before = own
    return before


class Chain:
    """Checks the seals of a journal line by line."""

    def __init__(self) -> None:
        self.last = START
        """Seal of the last line taken."""
        self.began = False
        """True once a sealed line was met; earlier versions sealed none."""
        self._unsealed = hashlib.sha256()

    def take(self, line: bytes) -> str:
        """Check a complete line; return what is wrong with it, empty for nothing."""
        if _seal_of(line) is None:
            return self._take_unsealed(line)
        found = unseal_line(line)
        if found is None:
            return "its checksum does not fit"
        _, named, own = found
        wrong = "" if named == self.last else "it does not follow the record before it"
        self.began, self.last = True, own
        return wrong

    def _take_unsealed(self, line: bytes) -> str:
        if self.began or is_sealed(line):
            return UNSEALED
        self._unsealed.update(line)
        self.last = self._unsealed.hexdigest()[:DIGITS]
        return ""


def _sealing_digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:DIGITS]
