"""Several processes, on this machine or on others, that work on shares of a job.

Local ones are started for the job (``processes.py``). Others join a scheduler beforehand; all of
them have the same certificate and key, and nothing is sent without these (mutual TLS).
"""

from __future__ import annotations

import logging
import os
import socket
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from callout.core.sentences import collections as sentences
from callout.core.sentences import desktop, files, sound_devices
from callout.errors import CalloutError
from callout.store.processes import Share, in_order, local_processes

CERTIFICATE, KEY = "callout-cluster.pem", "callout-cluster.key"
_PATIENCE_S: Final = 5.0
"""Time limit for a scheduler to answer."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A scheduler that is already running."""

    address: str = ""
    """Such as tls://192.168.1.20:8786; empty: workers are started here."""
    keys: Path | None = None
    """Folder with the shared certificate and key."""


HERE: Final = Elsewhere()


def make_keys(folder: Path) -> None:
    """Create a certificate and its key for a cluster; raises CalloutError if they exist."""
    made = load_library().security.Security.temporary()
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    for name, text in ((CERTIFICATE, made.tls_ca_file), (KEY, made.tls_scheduler_key)):
        try:
            handle = os.open(folder / name, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError as error:
            said = desktop.already_exists(folder / name)
            raise CalloutError(said, sentences.KEYS_EXIST_HINT) from error
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(text)


def security_of(keys: Path) -> Any:
    """Return the library's TLS credentials; raises CalloutError without the files."""
    certificate, key = (str(keys / name) for name in (CERTIFICATE, KEY))
    for path in (Path(certificate), Path(key)):
        _check_key(path)
    parts = {f"tls_{who}_cert": certificate for who in ("scheduler", "worker", "client")}
    parts |= {f"tls_{who}_key": key for who in ("scheduler", "worker", "client")}
    return load_library().security.Security(
        tls_ca_file=certificate, require_encryption=True, **parts
    )


def _check_key(path: Path) -> None:
    try:
        path.open("rb").close()
    except FileNotFoundError as error:
        hint = f"Make both: callout cluster keys {path.parent}"
        raise CalloutError(sound_devices.there_is_no(str(path)), hint) from error
    except OSError as error:
        said = files.file_cannot_be_read(path, error.strerror)
        raise CalloutError(said, sentences.OWN_KEYS_HINT) from error


@contextmanager
def several_workers(workers: int, elsewhere: Elsewhere = HERE) -> Iterator[Share]:
    """Yield a function that runs shares on workers; raises CalloutError if there are none."""
    if not elsewhere.address:
        with local_processes(workers) as share:
            yield share
        return
    distributed = load_library()
    for name in ("distributed", *logging.root.manager.loggerDict):
        if name.split(".")[0] == "distributed":  # an error is one sentence
            logging.getLogger(name).setLevel(logging.CRITICAL)
    with _stdout_kept(), _joined(distributed, elsewhere) as client:

        def give(work: Callable[..., Any], words: tuple[Any, ...]) -> Future[Any]:
            return client.submit(work, *words, pure=False)  # type: ignore[no-any-return]

        yield partial(in_order, give, len(client.ncores()))


def _joined(distributed: Any, elsewhere: Elsewhere) -> Any:
    place = urlsplit(elsewhere.address)
    if not (place.hostname and place.port and place.scheme in ("tcp", "tls")):
        said = f'"{elsewhere.address}" is no address of a scheduler.'
        raise CalloutError(said, sentences.SCHEDULER_ADDRESS_HINT)
    if (place.scheme == "tls") != bool(elsewhere.keys):
        hint = sentences.KEYS_HINT
        raise CalloutError(sentences.ONLY_WITH_ITS_KEYS, hint)
    security = security_of(elsewhere.keys) if elsewhere.keys else None
    try:
        socket.create_connection((place.hostname, place.port), _PATIENCE_S).close()
        client = distributed.Client(elsewhere.address, timeout=_PATIENCE_S, security=security)
    except (OSError, ValueError) as error:
        said = sentences.no_scheduler_answers(elsewhere.address)
        hint = sentences.NO_SCHEDULER_HINT
        raise CalloutError(said, hint) from error
    if not client.ncores():
        client.close()
        hint = f"Start some: callout cluster worker {elsewhere.address} --keys FOLDER"
        raise CalloutError(sentences.no_worker_has_joined(elsewhere.address), hint)
    return client


@contextmanager
def _stdout_kept() -> Iterator[None]:
    """Send output of the engine and its processes to the error stream: the report is data."""
    sys.stdout.flush()
    saved = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(saved, 1)
        os.close(saved)


def load_library() -> Any:
    """Return the library; raises CalloutError with the command that installs it."""
    try:
        import distributed
    except ImportError as error:
        hint = 'Run: pip install "callout[cluster]"'
        raise CalloutError(sentences.DISTRIBUTED_MISSING, hint) from error
    return distributed
