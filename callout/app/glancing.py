"""The glance page beside the terminal: both show the same, both take replies."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from callout.core.drill.summary import DrillSummary
from callout.core.sector.summary import SectorSummary
from callout.core.summary import Summary
from callout.core.view_model import ViewModel
from callout.errors import CalloutError
from callout.ports.keys import Keys, KeySink
from callout.ports.view import View

if TYPE_CHECKING:
    from callout.app.wiring import Wishes
    from callout.web.devices import Devices

PORT = 8760
"""Always the same, so that a page left open finds the next session."""
DEVICES = "glance-devices.json"

NETWORK_WARNING = (
    "Whoever is on this network and has the code can see and steer the list; nothing of it is "
    "encrypted. Use it only on a network you trust."
)


@dataclass(frozen=True, slots=True)
class GlanceWish:
    """What was asked for on the command line."""

    network: bool = False
    """Open to the home network, not only to this machine."""
    port: int = PORT


class Where:
    """Says where the page is and which code lets the next device in."""

    def __init__(self, devices: Devices, port: int, *, network: bool) -> None:
        self._devices = devices
        self._name = "Glance page, open to this network" if network else "Glance page"
        self._roots = [f"http://{a}:{port}/" for a in _addresses(network=network)]

    def __call__(self) -> str:
        """Return one line for the terminal."""
        code = self._devices.code
        return f"{self._name}: {' or '.join(f'{root}#{code}' for root in self._roots)}"


class Sharing:
    """What a session is given to be shown elsewhere too."""

    def __init__(self, where: Where, view: View, keys: Keys) -> None:
        self.where = where
        self.view = view
        self.keys = keys
        self.sink: KeySink | None = None
        self.typed = ""

    def code_changed(self) -> None:
        """Have the terminal drawn anew; from any thread."""
        if self.sink:
            self.sink.on_typing(self.typed)


class NotShared:
    """Says why the session is not shown elsewhere."""

    def __init__(self, why: str) -> None:
        self._why = why

    def where(self) -> str:
        """Return one line for the terminal."""
        return self._why


class BesideView:
    """The terminal, told where else the session is shown, and the page."""

    def __init__(self, own: View, shared: Sharing | NotShared) -> None:
        self._own = own
        self._shared = shared
        self._others: tuple[View, ...] = (shared.view,) if isinstance(shared, Sharing) else ()
        self._where = ""
        self._view = ViewModel(title="")

    def open(self, safety: str) -> None:
        """Open both."""
        for view in (self._own, *self._others):
            view.open(safety)

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Show it on both."""
        self._view = view
        for other in self._others:
            other.show(view, news)
        self._show_own(news)

    def typing(self, text: str) -> None:
        """Show it on both; at the terminal, another code too."""
        if isinstance(self._shared, Sharing):
            self._shared.typed = text
        if self._shared.where() != self._where:
            self._show_own(())
        for view in (self._own, *self._others):
            view.typing(text)

    def redraw(self) -> None:
        """The terminal has another size."""
        self._own.redraw()

    def notice(self, message: str, hint: str = "") -> None:
        """Show it on both."""
        for view in (self._own, *self._others):
            view.notice(message, hint)

    def finish(
        self, summary: Summary | SectorSummary | DrillSummary, journal: str, safety: str
    ) -> None:
        """End both."""
        for view in (*self._others, self._own):
            view.finish(summary, journal, safety)

    def close(self) -> None:
        """Give the terminal back; the page stays until the server ends."""
        for view in (self._own, *self._others):
            view.close()

    def _show_own(self, news: Sequence[str]) -> None:
        where = self._shared.where()
        lines = () if where == self._where else (where,)
        self._where = where
        self._own.show(replace(self._view, elsewhere=where), (*lines, *news))


class BesideKeys:
    """The keyboard and the page."""

    def __init__(self, own: Keys, shared: Sharing) -> None:
        self._own = own
        self._shared = shared

    def start(self, sink: KeySink) -> None:
        """Begin with both."""
        self._shared.sink = sink
        self._shared.keys.start(sink)
        self._own.start(sink)

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Tell both."""
        self._shared.keys.ask(item_id, idle=idle)
        self._own.ask(item_id, idle=idle)

    def taken(self) -> None:
        """Tell the keyboard, which may wait for it."""
        self._own.taken()

    def close(self) -> None:
        """End both."""
        self._shared.sink = None
        self._shared.keys.close()
        self._own.close()


@contextmanager
def glancing(wishes: Wishes, journals: Path) -> Iterator[Wishes]:
    """Open the page for as long as a session runs, where it is wished for.

    A page that cannot be opened is one sentence, and the session goes on.
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
    server = GlanceServer(hub, devices, EVERYWHERE if wish.network else LOOPBACK, wish.port)
    try:
        server.start()
    except CalloutError as error:
        yield replace(wishes, shared=NotShared(f"{error.message} {error.hint}".strip()))
        return
    where = Where(devices, server.port, network=wish.network)
    shared = Sharing(where, PageView(hub, report_lines), PageKeys(hub))
    devices.on_code = shared.code_changed
    try:
        yield replace(wishes, shared=shared)
    finally:
        server.stop()


def _addresses(*, network: bool) -> list[str]:
    from callout.web.addresses import network_addresses

    return network_addresses() if network else ["127.0.0.1"]


def beside(own: View, shared: Sharing | NotShared | None) -> View:
    """Return the terminal's view, with the page's beside it where there is one."""
    return own if shared is None else BesideView(own, shared)


def keys_beside(own: Keys, shared: Sharing | NotShared | None) -> Keys:
    """Return the keyboard, with the page's presses beside it where there is one."""
    return BesideKeys(own, shared) if isinstance(shared, Sharing) else own
