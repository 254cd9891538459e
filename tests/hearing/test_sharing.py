"""Work shared out among threads comes back whole and in order."""

from __future__ import annotations

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
