"""Divides work and memory among threads; numpy releases the interpreter while it computes."""

from __future__ import annotations

import ctypes
import sys
import threading
from collections.abc import Callable, Sequence
from typing import TypeVar, cast

ARENAS = -8
"""What ``mallopt`` calls the number of heaps (M_ARENA_MAX in glibc's malloc.h)."""

Part = TypeVar("Part")
Result = TypeVar("Result")
Other = TypeVar("Other")


def share_heap() -> bool:
    """Let all threads take memory from one heap; False where there is no such choice.

    glibc gives each thread a heap of its own, and each keeps what it once needed: a hundred
    megabytes for a recogniser whose threads come and go.
    """
    try:
        return sys.platform == "linux" and bool(ctypes.CDLL(None).mallopt(ARENAS, 1))
    except (OSError, AttributeError):
        return False


def trim_heap() -> bool:
    """Give the heap's free pages back to the system; False where there is no such call."""
    try:
        return sys.platform == "linux" and bool(ctypes.CDLL(None).malloc_trim(0))
    except (OSError, AttributeError):
        return False


def shared_out(work: Callable[[Part], Result], parts: Sequence[Part], threads: int) -> list[Result]:
    """Return the results of ``work`` for each part, in order; the first exception is raised here.

    The caller's thread takes its share. A thread pool would fail in a thread that outlives the main
    one, such as a recogniser that is still opening when the program ends.
    """
    waiting = iter(enumerate(parts))
    turn = threading.Lock()
    done: dict[int, Result] = {}
    failed: list[BaseException] = []

    def help_out() -> None:
        try:
            while not failed:
                with turn:
                    found = next(waiting, None)
                if found is None:
                    return
                number, part = found
                done[number] = work(part)
        except BaseException as error:
            failed.append(error)

    helpers = [threading.Thread(target=help_out, daemon=True) for _ in range(threads - 1)]
    begun = [helper for helper in helpers[: len(parts) - 1] if _thread_starts(helper)]
    help_out()
    for helper in begun:
        helper.join()
    if failed:
        raise failed[0]
    return [done[number] for number in range(len(parts))]


def run_both(one: Callable[[], Result], other: Callable[[], Other]) -> tuple[Result, Other]:
    """Return the results of two independent pieces of work."""
    found: list[Other] = []
    work: list[Callable[[], Result | None]] = [one, lambda: found.append(other())]
    first = shared_out(lambda part: part(), work, 2)[0]
    return cast(Result, first), found[0]


def _thread_starts(helper: threading.Thread) -> bool:
    """Start a thread; False while the interpreter is shutting down and allows no new one."""
    try:
        helper.start()
    except RuntimeError:
        return False
    return True
