"""What a process gives up for good before it runs foreign code.

Linux: memory through the limit of writable memory (setrlimit(2), RLIMIT_DATA); files and programs
through Landlock (landlock(7)), which any process may ask for. Elsewhere nothing is given up, and
what is asked of the database library has to do.
"""

from __future__ import annotations

import ctypes
import os
import re
import struct
import sys
from contextlib import suppress
from pathlib import Path
from typing import Final

_CREATE, _ADD, _RESTRICT = 444, 445, 446
"""Numbers of the Landlock calls, the same for every processor type but one (alpha)."""
_VERSION: Final = 1
_BENEATH: Final = 1
_NO_NEW_PRIVILEGES: Final = 38
_EXECUTE, _WRITE, _READ_FILE, _READ_FOLDER = 1 << 0, 1 << 1, 1 << 2, 1 << 3
_REMOVE_FOLDER, _REMOVE_FILE = 1 << 4, 1 << 5
_MAKE_FOLDER, _MAKE_FILE = 1 << 7, 1 << 8
_FIRST: Final = (1 << 13) - 1
_MOVE, _TRUNCATE = 1 << 13, 1 << 14
"""Rights added in the second and third version."""
_SCRATCH: Final = _WRITE | _REMOVE_FOLDER | _REMOVE_FILE | _MAKE_FOLDER | _MAKE_FILE
_TCP: Final = 3
"""To listen and to connect, since the fourth version."""
_SPARE: Final = 128 << 20
_THREAD: Final = 16 << 20
"""Bytes for each thread of the library: its stack and reserves."""


def limit_memory(held: int) -> bool:
    """Let this process use at most a quarter more than ``held`` bytes, in addition to what it has.

    Also disables core dumps. Returns False if the system has no such limit.
    """
    if sys.platform != "linux":
        return False
    import resource

    taken = re.search(r"^VmData:\s*(\d+) kB", Path("/proc/self/status").read_text("ascii"), re.M)
    if not taken:
        return False
    most = int(taken[1]) * 1024 + held * 5 // 4 + _SPARE + _THREAD * (os.cpu_count() or 1)
    with suppress(OSError, ValueError):  # a lower limit was set from outside
        resource.setrlimit(resource.RLIMIT_DATA, (most, most))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    return True


def only_read(scratch: Path | None = None) -> bool:
    """From now on change no file (outside ``scratch``), start no program and open no connection.

    Applies to the calling thread and to those it starts. Returns False if the system cannot do
    this.
    """
    if sys.platform != "linux":
        return False
    library = ctypes.CDLL(None, use_errno=True)
    version = library.syscall(_CREATE, None, ctypes.c_size_t(0), ctypes.c_uint32(_VERSION))
    if version < 1:
        return False
    ours = _new_rules(library, version)
    try:
        allowed = _SCRATCH | (_TRUNCATE if version >= 3 else 0)
        kept = scratch is None or _allow_folder(library, ours, scratch, allowed)
        return kept and _give_up(library, ours)
    finally:
        os.close(ours)


def _new_rules(library: ctypes.CDLL, version: int) -> int:
    files = _FIRST & ~(_READ_FILE | _READ_FOLDER)
    files |= (_MOVE if version >= 2 else 0) | (_TRUNCATE if version >= 3 else 0)
    asked = struct.pack("=QQ", files, _TCP) if version >= 4 else struct.pack("=Q", files)
    made = library.syscall(_CREATE, asked, ctypes.c_size_t(len(asked)), ctypes.c_uint32(0))
    if made < 0:
        raise OSError(ctypes.get_errno(), "the system refuses to guard files")
    return int(made)


def _allow_folder(library: ctypes.CDLL, ours: int, folder: Path, rights: int) -> bool:
    opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        rule = struct.pack("=Qi", rights, opened)
        return bool(library.syscall(_ADD, ours, _BENEATH, rule, ctypes.c_uint32(0)) == 0)
    finally:
        os.close(opened)


def _give_up(library: ctypes.CDLL, ours: int) -> bool:
    zero = ctypes.c_ulong(0)
    if library.prctl(_NO_NEW_PRIVILEGES, ctypes.c_ulong(1), zero, zero, zero):
        return False
    return bool(library.syscall(_RESTRICT, ours, ctypes.c_uint32(0)) == 0)
