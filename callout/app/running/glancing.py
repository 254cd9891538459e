"""The glance page beside the terminal: both show the session, both take replies."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.running.shared_view import NotShared, Sharing
from callout.app.running.wishes import Wishes
from callout.core.sentences import sound as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from callout.web.devices import Devices

DEVICES = "glance-devices.json"

NETWORK_WARNING = sentences.NETWORK_WARNING


class Where:
    """Says where the page is and which code admits the next device."""

    def __init__(self, devices: Devices, port: int, *, network: bool, address: str = "") -> None:
        self._devices = devices
        self._name = "Glance page, open to this network" if network else "Glance page"
        shown_at = [address] if address else _page_addresses(network=network)
        self._roots = [f"http://{a}:{port}/" for a in shown_at]
        self.page = ""
        """The path to open there; empty: the session."""

    def __call__(self) -> str:
        """Return one line for the terminal."""
        code = self._devices.code
        return f"{self._name}: {' or '.join(f'{r}{self.page}#{code}' for r in self._roots)}"


@contextmanager
def glance_page(wishes: Wishes, journals: Path) -> Iterator[Wishes]:
    """Open the page for as long as a session runs, if it is wanted.

    A page that cannot be opened is reported in one sentence, and the session continues.
    """
    wish = wishes.glance
    if wish is None:
        yield wishes
        return
    from callout.terminal.report import report_lines
    from callout.web.devices import Devices
    from callout.web.hub import Hub
    from callout.web.page import PageKeys, PageView
    from callout.web.server import EVERYWHERE, LOOPBACK, GlanceServer

    hub = Hub()
    devices = Devices(journals / DEVICES, time.time)
    usual = EVERYWHERE if wish.network else LOOPBACK
    server = GlanceServer(hub, devices, wish.address or usual, wish.port, wish.panel)
    try:
        server.start()
    except CalloutError as error:
        yield replace(wishes, shared=NotShared(f"{error.message} {error.hint}".strip()))
        return
    where = Where(devices, server.port, network=wish.network, address=wish.address)
    where.page = "panel" if wish.panel is not None else ""
    shared = Sharing(where, PageView(hub, report_lines), PageKeys(hub))
    devices.on_code = shared.code_changed
    try:
        yield replace(wishes, shared=shared)
    finally:
        server.stop()


def _page_addresses(*, network: bool) -> list[str]:
    from callout.web.addresses import network_addresses

    return network_addresses() if network else ["127.0.0.1"]
