"""Processes on this machine that work on shares of a job, for its duration.

The standard library's pool: nothing listens, and if the system can fork, the libraries are loaded
once for all. Rows come back as they are in memory.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from typing import Any, Final

from callout.core.sentences import collections as sentences
from callout.errors import CalloutError
from callout.store.engine import CollectionInvalid, first_line

_AHEAD: Final = 2
"""Shares queued at each worker: more would only use memory."""
Share = Callable[[Callable[..., Any], Iterable[tuple[Any, ...]]], Iterator[Any]]
"""Has others run a function on each of several arguments; yields the results in the same order."""
Give = Callable[[Callable[..., Any], tuple[Any, ...]], "Future[Any]"]


@contextmanager
def local_processes(workers: int) -> Iterator[Share]:
    """Yield a function that runs shares on local processes; they end with the block.

    Start it before a database is opened: a forked process has none of its threads.
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
    """Yield the results of the shares in order; only a few shares are in progress at a time."""
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
    except CollectionInvalid:
        raise
    except CancelledError as error:  # nothing here cancels: whoever gave out the work is gone
        raise CollectionInvalid(sentences.SCHEDULER_LOST, sentences.COLLECT_AGAIN_HINT) from error
    except Exception as error:  # whatever ended a process elsewhere
        said = sentences.worker_failed(first_line(error))
        raise CollectionInvalid(said, sentences.WORKER_MEMORY_HINT) from error


def _way() -> multiprocessing.context.BaseContext:
    """Return how processes are started: forked where that is safe, else spawned."""
    copied = sys.platform == "linux" and threading.active_count() == 1
    return multiprocessing.get_context("fork" if copied else "spawn")


def _begin() -> None:
    """Leave Ctrl-C to the parent process, and end with it, however it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
