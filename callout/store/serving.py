"""Runs a scheduler or a worker in this process until it is interrupted."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from callout.core.sentences import collections as sentences
from callout.errors import CalloutError
from callout.store.workers import load_library, security_of

Told = Callable[[str], None]
_GIVE_UP_S = 10


def run_scheduler(keys: Path, host: str, port: int, told: Told) -> None:
    """Run a scheduler; ``told`` is called with its address once it listens. Raises CalloutError."""
    distributed, security = load_library(), security_of(keys)

    async def serve() -> None:
        async with distributed.Scheduler(
            host=host, port=port, protocol="tls", security=security, dashboard=False
        ) as made:
            told(sentences.scheduler_listening(made.address))
            await made.finished()

    _run(serve, f"{host}, port {port}")


def run_worker(address: str, keys: Path, host: str, told: Told) -> None:
    """Run a single-threaded worker until it is interrupted. Raises CalloutError."""
    distributed, security = load_library(), security_of(keys)

    async def work() -> None:
        async with distributed.Worker(
            address, nthreads=1, host=host, protocol="tls", security=security, dashboard=False,
            death_timeout=_GIVE_UP_S,
        ) as made:  # fmt: skip
            told(sentences.worker_started(address))
            await made.finished()

    _run(work, address)


def _run(serve: Callable[[], Awaitable[Any]], where: str) -> None:
    import dask

    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    quiet = {f"distributed.{who}.http.routes": list[str]() for who in ("scheduler", "worker")}
    with dask.config.set(quiet), suppress(KeyboardInterrupt):
        try:
            asyncio.run(_waited(serve))
        except (OSError, TimeoutError, ValueError) as error:
            hint = sentences.CLUSTER_ADDRESS_HINT
            raise CalloutError(sentences.does_not_work_at(where), hint) from error


async def _waited(serve: Callable[[], Awaitable[Any]]) -> None:
    await serve()
