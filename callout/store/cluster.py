"""The standard report over Parquet files, its parts worked out by several workers.

Each worker is a process (of this machine, or of others that see the same files) with a database of
its own. It sends back counts, which add up exactly, and reply times in whole milliseconds, some two
bytes each: quantiles are worked out from all of them, so that they equal those of one machine to
the last digit. A sketch (t-digest) would be smaller and not equal.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Final

from callout.errors import CalloutError
from callout.store.asking import REPORT, QuerySection, query_sections
from callout.store.engine import (
    MEMORY,
    PARTIALS,
    CollectionInvalid,
    connect_database,
    first_line,
    parquet_files,
    query_text,
    quoted_sql,
    view_of,
)

_HERE: Final = "127.0.0.1"
_QUIET: Final = {
    "distributed.scheduler.http.routes": [],
    "distributed.worker.http.routes": [],
    "distributed.worker.memory.spill": False,  # the databases spill by themselves
}
"""Nothing is told over HTTP; all sockets are of this machine alone."""


def spread_report(
    folder: Path,
    workers: int,
    memory: str = MEMORY,
    scheduler: str = "",
    names: Sequence[str] = REPORT,
) -> Iterator[QuerySection]:
    """Yield the standard report on the Parquet files in ``folder``.

    scheduler: address of a running Dask scheduler; empty: ``workers`` processes are started here.
    memory: what each worker's database, and the one that puts the parts together, may hold.
    """
    files = parquet_files(folder.resolve(), "items")
    if not files:
        hint = "Write them with: callout collect --parquet FOLDER"
        raise CollectionInvalid(f"There are no Parquet files of a collection in {folder}.", hint)
    shares = shares_of(files, workers)
    with tempfile.TemporaryDirectory(prefix="callout-") as where:
        _gather_partials(Path(where), shares, workers, memory, scheduler)
        with closing(connect_database(":memory:", memory)) as connection:
            connection.execute(f"SET temp_directory = {quoted_sql(where)}")
            connection.execute(query_text("macros"))
            for name in PARTIALS:
                connection.execute(view_of(name, sorted(Path(where).glob(f"{name}-*.parquet"))))
            yield from query_sections(connection, names)


def shares_of(files: Sequence[Path], workers: int) -> list[list[str]]:
    """Return the files in shares of about the same size, largest first; none is empty."""
    shares: list[list[str]] = [[] for _ in range(min(workers, len(files)))]
    sizes = [0] * len(shares)
    for path in sorted(files, key=lambda p: (-p.stat().st_size, p)):
        least = sizes.index(min(sizes))
        shares[least].append(str(path))
        sizes[least] += path.stat().st_size
    return shares


def partial_results(paths: Sequence[str], memory: str) -> dict[str, bytes]:
    """Return the partial results of one share as Parquet; runs in a worker."""
    out: dict[str, bytes] = {}
    with (
        tempfile.TemporaryDirectory(prefix="callout-") as where,
        closing(connect_database(":memory:", memory, threads=1)) as connection,
    ):
        connection.execute(f"SET temp_directory = {quoted_sql(where)}")
        connection.execute(view_of("items", [Path(path) for path in paths]))
        for name in PARTIALS:
            path = Path(where) / f"{name}.parquet"
            target = "(FORMAT parquet, COMPRESSION zstd)"
            connection.execute(f"COPY ({query_text(name)}) TO {quoted_sql(str(path))} {target}")
            out[name] = path.read_bytes()
    return out


def _gather_partials(
    where: Path, shares: Sequence[Sequence[str]], workers: int, memory: str, scheduler: str
) -> None:
    """Write what the workers send into ``where``, each part as it comes."""
    distributed = _load_library()
    with _stdout_kept(), _cluster_client(distributed, workers, scheduler) as client:
        futures = [client.submit(partial_results, share, memory, pure=False) for share in shares]
        for number, future in enumerate(distributed.as_completed(futures)):
            try:
                parts = future.result()
            except Exception as error:  # whatever ended a process elsewhere
                said = f"A worker failed: {first_line(error)}."
                raise CollectionInvalid(said, "Allow more with --memory, or try again.") from error
            for name, content in parts.items():
                (where / f"{name}-{number:04}.parquet").write_bytes(content)
            future.release()


@contextmanager
def _stdout_kept() -> Iterator[None]:
    """Send what the engine and its processes print to the error stream: the report is data."""
    sys.stdout.flush()
    saved = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(saved, 1)
        os.close(saved)


def _cluster_client(distributed: Any, workers: int, scheduler: str) -> Any:
    if scheduler:
        return distributed.Client(scheduler)
    import dask

    with dask.config.set(_QUIET):
        return distributed.Client(
            n_workers=workers,
            threads_per_worker=1,
            host=_HERE,
            dashboard_address=f"{_HERE}:0",
            worker_dashboard_address=f"{_HERE}:0",
            security=True,  # certificates made for this run: nobody else here can join or send
            silence_logs=50,  # what fails is told by the future
        )


def _load_library() -> Any:
    try:
        import distributed
    except ImportError as error:
        hint = 'Run: pip install "callout[cluster]"'
        raise CalloutError("Several workers need the distributed library.", hint) from error
    return distributed
