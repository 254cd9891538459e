"""Opens files that somebody else may have put there."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO


def open_regular(path: Path) -> BinaryIO:
    """Open a regular file for reading bytes; raises OSError for anything else.

    A pipe that nobody writes to would block the program forever.
    """
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            folder = stat.S_ISDIR(os.fstat(handle).st_mode)
            number = errno.EISDIR if folder else errno.EINVAL
            said = os.strerror(number) if folder else "it is no regular file"
            raise OSError(number, said, str(path))
        return os.fdopen(handle, "rb")
    except BaseException:
        os.close(handle)
        raise
