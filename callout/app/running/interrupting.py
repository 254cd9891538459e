"""Turns Ctrl-C and requests to terminate into an orderly end of a session."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

from callout.app.running.runner import Runner
from callout.quiet import native_errors_hidden

S = TypeVar("S")


@contextmanager
def interruptible_runner(runner: Runner[S]) -> Iterator[Runner[S]]:
    """Turn Ctrl-C and requests to terminate into an orderly, resumable end.

    Messages of C libraries stay off the screen meanwhile. A session in a thread of its own leaves
    signals to the main thread, the only one that may handle them.
    """
    if threading.current_thread() is not threading.main_thread():
        with native_errors_hidden():
            yield runner
        return
    names = ("SIGINT", "SIGTERM", "SIGHUP")
    signals: Sequence[signal.Signals] = [
        getattr(signal, name) for name in names if hasattr(signal, name)
    ]

    def end(number: int, frame: FrameType | None) -> None:
        runner.on_interrupt("keyboard" if number == signal.SIGINT else "terminated")

    before = {number: signal.signal(number, end) for number in signals}
    if hasattr(signal, "SIGWINCH"):
        before[signal.SIGWINCH] = signal.signal(signal.SIGWINCH, lambda *_: runner.on_resize())
    try:
        with native_errors_hidden():
            yield runner
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
