"""Keeps what C libraries print (ALSA, PortAudio, JACK) off the screen."""

from __future__ import annotations

import contextlib
import io
import os
import sys
import threading
from collections.abc import Iterator
from typing import TextIO

from callout.outlet import guarded_stream

_SWAP = threading.RLock()


@contextlib.contextmanager
def quiet_stderr() -> Iterator[None]:
    """Discard the error stream for a moment, while libraries are loaded and opened.

    One thread at a time: two that swapped the stream at once could lose it for good.
    """
    with _SWAP:
        saved = _to_null()
        try:
            yield
        finally:
            if saved is not None:
                os.dup2(saved, 2)
                os.close(saved)


@contextlib.contextmanager
def native_errors_hidden() -> Iterator[None]:
    """Discard only C libraries' messages while a session is on the screen.

    Python's own ``sys.stderr`` still reaches the terminal. Libraries print from their own threads
    long after the call that caused it, for example when a device is unplugged.
    """
    with _SWAP:
        saved, python_stderr = _to_null(), sys.stderr
    if saved is None:
        yield
        return
    raw: TextIO | None = None
    if _is_stream_two(python_stderr):
        raw = os.fdopen(os.dup(saved), "w", buffering=1, encoding=python_stderr.encoding)
        sys.stderr = guarded_stream(raw)
    try:
        yield
    finally:
        with _SWAP:
            if raw is not None:
                raw.close()
                sys.stderr = python_stderr
            os.dup2(saved, 2)
            os.close(saved)


def _to_null() -> int | None:
    """Point descriptor 2 at the null device; return the original, or None if there is none."""
    try:
        sys.stderr.flush()
        saved = os.dup(2)
    except (OSError, AttributeError, ValueError):
        return None
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, 2)
    os.close(sink)
    return saved


def _is_stream_two(stream: object) -> bool:
    try:
        return stream is not None and stream.fileno() == 2  # type: ignore[attr-defined]
    except (OSError, AttributeError, ValueError, io.UnsupportedOperation):
        return False
