"""Writes a journal again from memory if its file has vanished or was replaced."""

from __future__ import annotations

import os
import zlib
from pathlib import Path

from callout.core.sentences import journals as sentences
from callout.journal.locked_file import is_at, open_held, remove_quietly, sync_folder, write_all

_NEW = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL
_MOST_ASIDE = 99
"""A limit, so that a program that keeps putting other files there is not fought forever."""


class Copy:
    """What was written so far, compressed: a long session in a tenth of its size."""

    def __init__(self) -> None:
        self._packer = zlib.compressobj(1)
        self._packed = bytearray()

    def add(self, data: bytes) -> None:
        """Append ``data``."""
        self._packed += self._packer.compress(data)

    def data(self) -> bytes:
        """Return everything."""
        return zlib.decompress(bytes(self._packed) + self._packer.copy().flush())


def written_anew(path: Path, copy: Copy, old: int) -> tuple[int, str]:
    """Put a new file with ``copy`` at ``path``; return its descriptor, locked, and what to say.

    old: descriptor of the previous file. Another file found at ``path`` is kept under a different
    name. Raises OSError, or JournalUnwritable.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    remove_quietly(beside)
    new = open_held(beside, _NEW)
    try:
        write_all(new, copy.data())
        os.fsync(new)
        what, aside = _set_aside(path, old)
        os.replace(beside, path)
        sync_folder(path.parent)
    except BaseException:
        os.close(new)
        remove_quietly(beside)
        raise
    kept = sentences.old_file_kept_as(aside.name) if aside else ""
    return (
        new,
        f"The journal {path} was {what}. It has been written again in full; nothing is lost.{kept}",
    )


def _set_aside(path: Path, old: int) -> tuple[str, Path | None]:
    if not os.path.lexists(path):
        return "removed", None
    what = "changed by another program" if is_at(old, path) else "replaced"
    aside = free_name(path, "aside")
    os.rename(path, aside)
    return what, aside


def free_name(path: Path, what: str) -> Path:
    """Return an unused name beside ``path``; raises OSError if all are taken."""
    for number in range(1, _MOST_ASIDE + 1):
        name = path.with_name(f"{path.name}.{what}-{number}")
        if not os.path.lexists(name):
            return name
    raise OSError(f"there are {_MOST_ASIDE} files beside it already")
