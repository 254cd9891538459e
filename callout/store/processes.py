"""Processes of this machine that work on shares of a job, for as long as it lasts.

The pool of the standard library: nothing listens, and where the system can copy a process the
libraries are loaded once for all. Rows come back as they lie in memory.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from typing import Any, Final

from callout.core.sentences import collections as sentences
from callout.errors import CalloutError
from callout.store.engine import CollectionInvalid, first_line

_AHEAD: Final = 2
"""Shares that wait at each worker: more would only take memory."""
Share = Callable[[Callable[..., Any], Iterable[tuple[Any, ...]]], Iterator[Any]]
"""Has others run a function on each of some arguments; yields the results in the same order."""
Give = Callable[[Callable[..., Any], tuple[Any, ...]], "Future[Any]"]


@contextmanager
def local_processes(workers: int) -> Iterator[Share]:
    """Give what has processes of this machine work on shares; they end with the block.

    To be begun before a database is opened: the copy of a process has none of its threads.
    """
    pool = ProcessPoolExecutor(workers, _way(), _begin)
    try:
        try:
            pool.submit(os.getpid).result()
        except (OSError, BrokenProcessPool) as error:
            hint = sentences.WORKERS_HINT
            raise CalloutError(sentences.workers_did_not_start(first_line(error)), hint) from error
        yield partial(in_order, lambda work, words: pool.submit(work, *words), workers)
    finally:
        pool.shutdown(cancel_futures=True)


def in_order(
    give: Give, workers: int, work: Callable[..., Any], shares: Iterable[tuple[Any, ...]]
) -> Iterator[Any]:
    """Yield what the shares give, in their order; only a few of them are under way at a time."""
    left, under_way = iter(shares), deque[Future[Any]]()

    def give_next() -> None:
        for words in left:
            under_way.append(give(work, words))
            return

    for _ in range(_AHEAD * max(1, workers)):
        give_next()
    while under_way:
        result = _result_of(under_way.popleft())
        give_next()
        yield result


def _result_of(future: Future[Any]) -> Any:
    try:
        return future.result()
    except Exception as error:  # whatever ended a process elsewhere
        said = sentences.worker_failed(first_line(error))
        raise CollectionInvalid(said, sentences.WORKER_MEMORY_HINT) from error


def _way() -> multiprocessing.context.BaseContext:
    """Return how processes are begun: copied where that is safe, else started anew."""
    copied = sys.platform == "linux" and threading.active_count() == 1
    return multiprocessing.get_context("fork" if copied else "spawn")


def _begin() -> None:
    """Leave Ctrl-C to the process that began this one, and end with it, however it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
