"""The standard report over Parquet files, computed in parts by several workers.

Each worker is a process (on this machine, or on others that see the same files) with a database of
its own. It sends back counts, which add up exactly, and reply times in whole milliseconds, about
two bytes each: quantiles are computed from all of them, so they equal a single machine's to the
last digit. A sketch (t-digest) would be smaller but not exact.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

from callout.core.sentences import collections as sentences
from callout.store.asking import REPORT, QuerySection, query_sections
from callout.store.engine import (
    MEMORY,
    PARTIALS,
    CollectionInvalid,
    connect_database,
    parquet_files,
    query_text,
    quoted_sql,
    view_of,
)
from callout.store.workers import HERE, Elsewhere, several_workers


def spread_report(
    folder: Path,
    workers: int,
    memory: str = MEMORY,
    elsewhere: Elsewhere = HERE,
    names: Sequence[str] = REPORT,
) -> Iterator[QuerySection]:
    """Yield the standard report on the Parquet files in ``folder``.

    elsewhere: a scheduler whose workers do the work; otherwise ``workers`` processes are started
    here. memory: limit for each worker's database, and for the one that combines the parts.
    """
    files = parquet_files(folder.resolve(), "items")
    if not files:
        hint = "Write them with: callout collect --parquet FOLDER"
        raise CollectionInvalid(sentences.no_parquet_files(folder), hint)
    shares = shares_of(files, workers)
    with tempfile.TemporaryDirectory(prefix="callout-") as where:
        _gather_partials(Path(where), shares, workers, memory, elsewhere)
        with closing(connect_database(":memory:", memory)) as connection:
            connection.execute(f"SET temp_directory = {quoted_sql(where)}")
            connection.execute(query_text("macros"))
            for name in PARTIALS:
                connection.execute(view_of(name, sorted(Path(where).glob(f"{name}-*.parquet"))))
            yield from query_sections(connection, names)


def shares_of(files: Sequence[Path], workers: int) -> list[list[str]]:
    """Return the files in shares of about equal size, largest first; none is empty."""
    shares: list[list[str]] = [[] for _ in range(min(workers, len(files)))]
    sizes = [0] * len(shares)
    for path in sorted(files, key=lambda p: (-p.stat().st_size, p)):
        least = sizes.index(min(sizes))
        shares[least].append(str(path))
        sizes[least] += path.stat().st_size
    return shares


def partial_results(paths: Sequence[str], memory: str) -> dict[str, bytes]:
    """Return the partial results of one share as Parquet; runs in a worker."""
    for path in map(Path, paths):
        try:
            path.open("rb").close()
        except OSError as error:
            said = sentences.worker_cannot_read(path, error.strerror or str(error))
            raise CollectionInvalid(said, sentences.WORKER_RIGHTS_HINT) from error
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
    where: Path, shares: Sequence[list[str]], workers: int, memory: str, elsewhere: Elsewhere
) -> None:
    """Write what the workers send into ``where``, each part as it arrives."""
    with several_workers(workers, elsewhere) as share:
        wanted = [(paths, memory) for paths in shares]
        for number, parts in enumerate(share(partial_results, wanted)):
            for name, content in parts.items():
                (where / f"{name}-{number:04}.parquet").write_bytes(content)
