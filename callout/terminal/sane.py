"""Restores a terminal that a killed session left without echo, or on its alternate screen."""

from __future__ import annotations

import sys
from typing import TextIO

from callout.outlet import drawing_stream

MENDED = "\x1b[?1049l\x1b[?2004l\x1b[?25h\x1b[0m"
"""Main screen, no bracketed paste, visible cursor, no colour (ECMA-48, DEC modes)."""


def make_sane(typed: TextIO, shown: TextIO) -> bool:
    """Restore line editing and echo on a terminal, as ``stty sane`` does.

    Does nothing and returns False if they are on, or if ``typed`` is not a terminal.
    """
    if sys.platform == "win32":
        return False  # a console's modes end with the process that set them
    import termios

    try:
        handle = typed.fileno()
        kept = termios.tcgetattr(handle)
    except (termios.error, OSError, ValueError, AttributeError):
        return False
    local = termios.ECHO | termios.ICANON | termios.ISIG | termios.IEXTEN
    if kept[3] & local == local and kept[1] & termios.OPOST:
        return False
    kept[0] |= termios.ICRNL | termios.IXON | termios.BRKINT
    kept[1] |= termios.OPOST | termios.ONLCR
    kept[3] |= local | termios.ECHOE | termios.ECHOK
    kept[6][termios.VMIN], kept[6][termios.VTIME] = 1, 0
    try:
        termios.tcsetattr(handle, termios.TCSADRAIN, kept)
    except (termios.error, OSError):
        return False
    if shown.isatty():
        out = drawing_stream(shown)
        out.write(MENDED)
        out.flush()
    return True
