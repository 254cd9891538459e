"""Work shared out among threads comes back whole and in order."""

from __future__ import annotations

import platform
import subprocess
import sys
import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.hearing.embedded.sharing import run_both, shared_out


@given(st.lists(st.integers(), max_size=20), st.integers(1, 4))
def test_results_come_in_the_order_of_the_parts(parts: list[int], threads: int) -> None:
    assert shared_out(lambda part: part * 3, parts, threads) == [part * 3 for part in parts]


def test_two_threads_work_at_once() -> None:
    meeting = threading.Barrier(2, timeout=200)

    def work(part: int) -> str:
        meeting.wait()
        return threading.current_thread().name

    assert len(set(shared_out(work, [1, 2], 2))) == 2


def test_what_fails_is_raised_here() -> None:
    def work(part: int) -> int:
        if part == 3:
            raise ValueError("three")
        return part

    with pytest.raises(ValueError, match="three"):
        shared_out(work, range(6), 2)


def test_without_new_threads_the_caller_does_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """As at the end of the program, when none can begin."""

    def refuse(thread: threading.Thread) -> None:
        raise RuntimeError("can't create new thread at interpreter shutdown")

    monkeypatch.setattr(threading.Thread, "start", refuse)
    assert shared_out(str, [1, 2, 3], 2) == ["1", "2", "3"]


def test_both_give_what_they_found() -> None:
    assert run_both(lambda: "one", lambda: 2) == ("one", 2)


HEAPS = """
import ctypes, os, sys, tempfile, threading
from callout.hearing.embedded.sharing import share_heap
if "shared" in sys.argv:
    assert share_heap()
met = threading.Barrier(4)
def work():
    met.wait()
    kept = [bytes(600 + n) for n in range(2000)]
    met.wait()
threads = [threading.Thread(target=work) for _ in range(4)]
[one.start() for one in threads], [one.join() for one in threads]
path = os.path.join(tempfile.mkdtemp(), "told")
libc = ctypes.CDLL(None)
libc.fopen.restype, libc.fopen.argtypes = ctypes.c_void_p, [ctypes.c_char_p, ctypes.c_char_p]
libc.malloc_info.argtypes, libc.fclose.argtypes = [ctypes.c_int, ctypes.c_void_p], [ctypes.c_void_p]
file = libc.fopen(path.encode(), b"w")
libc.malloc_info(0, file), libc.fclose(file)
print(open(path).read().count("<heap nr="))
"""
"""Prints how many heaps four threads leave behind, as glibc's own ``malloc_info`` counts them."""


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="a choice of glibc's")
def test_threads_leave_one_heap_behind() -> None:
    def heaps(*told: str) -> int:
        command = [sys.executable, "-c", HEAPS, *told]
        return int(subprocess.run(command, check=True, capture_output=True, text=True).stdout)

    assert heaps("shared") == 1 < heaps()
