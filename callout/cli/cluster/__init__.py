"""``callout cluster``: a scheduler and workers on several machines, encrypted."""

from __future__ import annotations

from pathlib import Path

import click

from callout.core.sentences.commands import command_help as sentences
from callout.core.sentences.commands import report_answers, report_options

_FOLDER = click.Path(path_type=Path)
_KEYS = click.option(
    "--keys", type=_FOLDER, required=True, metavar="FOLDER",
    help=report_options.CLUSTER_KEYS,
)  # fmt: skip
_HOST = click.option("--host", default="127.0.0.1", show_default=True, help=report_options.HOST)


@click.group("cluster", short_help=sentences.COMMAND_CLUSTER)
def command() -> None:
    """Let several machines that see the same files work on a collection.

    \b
    callout cluster keys school-keys            once; copy the folder to every machine
    callout cluster scheduler --keys school-keys --host 192.168.1.20
    callout cluster worker tls://192.168.1.20:8786 --keys school-keys --host 192.168.1.21
    callout collect pilots/* --scheduler tls://192.168.1.20:8786 --keys school-keys
    """


@command.command(short_help=sentences.COMMAND_CLUSTER_KEYS)
@click.argument("folder", type=_FOLDER)
def keys(folder: Path) -> None:
    """Write a certificate and its key to FOLDER.

    Whoever has them can join, send work and see what is read: copy them only to your own machines.
    """
    from callout.store.workers import make_keys

    make_keys(folder)
    click.echo(report_answers.cluster_keys_written(folder))


@command.command(short_help=sentences.COMMAND_CLUSTER_SCHEDULER)
@_KEYS
@_HOST
@click.option("--port", type=click.IntRange(0, 65535), default=8786, show_default=True,
              help=report_options.SCHEDULER_PORT)  # fmt: skip
def scheduler(keys: Path, host: str, port: int) -> None:
    """Run the scheduler that workers join. It answers only those who have the keys."""
    from callout.store.serving import run_scheduler

    run_scheduler(keys, host, port, click.echo)


@command.command(short_help=sentences.COMMAND_CLUSTER_WORKER)
@click.argument("address")
@_KEYS
@_HOST
def worker(address: str, keys: Path, host: str) -> None:
    """Join the scheduler at ADDRESS, such as tls://192.168.1.20:8786, and work for it.

    A worker is one process: start one for each core of the machine. It reads the files it is told
    to.
    """
    from callout.store.serving import run_worker

    run_worker(address, keys, host, click.echo)
