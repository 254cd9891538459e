"""``callout cluster``: a scheduler and workers on several machines, encrypted."""

from __future__ import annotations

from pathlib import Path

import click

_FOLDER = click.Path(path_type=Path)
_KEYS = click.option(
    "--keys", type=_FOLDER, required=True, metavar="FOLDER",
    help="Certificate and key of all who take part.",
)  # fmt: skip
_HOST = click.option(
    "--host", default="127.0.0.1", show_default=True, help="Address of this machine to listen at."
)


@click.group("cluster", short_help="Let several machines load and count journals.")
def command() -> None:
    """Let several machines that see the same files work on a collection.

    \b
    callout cluster keys school-keys            once; copy the folder to every machine
    callout cluster scheduler --keys school-keys --host 192.168.1.20
    callout cluster worker tls://192.168.1.20:8786 --keys school-keys --host 192.168.1.21
    callout collect pilots/* --scheduler tls://192.168.1.20:8786 --keys school-keys
    """


@command.command(short_help="Make the certificate and key of a cluster.")
@click.argument("folder", type=_FOLDER)
def keys(folder: Path) -> None:
    """Write a certificate and its key to FOLDER.

    Who has them can join, send work and see what is read: give them to your own machines only.
    """
    from callout.store.workers import make_keys

    make_keys(folder)
    click.echo(f"Written to {folder}, for you alone. Copy the folder to each of your machines.")


@command.command(short_help="Run the scheduler until Ctrl-C.")
@_KEYS
@_HOST
@click.option("--port", type=click.IntRange(0, 65535), default=8786, show_default=True,
              help="Port to listen at; 0: any that is free.")  # fmt: skip
def scheduler(keys: Path, host: str, port: int) -> None:
    """Run the scheduler that workers join. Nobody without the keys can speak to it."""
    from callout.store.serving import run_scheduler

    run_scheduler(keys, host, port, click.echo)


@command.command(short_help="Run a worker until Ctrl-C.")
@click.argument("address")
@_KEYS
@_HOST
def worker(address: str, keys: Path, host: str) -> None:
    """Join the scheduler at ADDRESS, such as tls://192.168.1.20:8786, and work for it.

    One process: start as many as the machine has cores. It reads the files that it is told to.
    """
    from callout.store.serving import run_worker

    run_worker(address, keys, host, click.echo)
