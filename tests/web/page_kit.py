"""A page that is served, and what a viewer without a browser needs."""

from __future__ import annotations

import asyncio
import json
import socket
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import aiohttp
from yarl import URL

from callout.core.conversation.view_model import Control, Doing, Row, Status, ViewModel
from callout.web.devices import Devices
from callout.web.hub import Hub
from callout.web.server import LOOPBACK, GlanceServer

T = TypeVar("T")
VIEW = ViewModel(
    title="Line-up",
    rows=(
        Row("beacon", 1, "Beacon", Status.ANSWERED, "on"),
        Row("pump", 2, "Fuel pump", Status.CURRENT, critical=True),
    ),
    current=1,
    challenge="Fuel pump",
    doing=Doing.LISTENING,
    controls=(Control("f2", "say again"), Control("space", "hold")),
    done=1,
    total=2,
)


class Clock:
    """Seconds that pass when told."""

    def __init__(self) -> None:
        self.seconds = 1_000_000.0

    def __call__(self) -> float:
        return self.seconds


class Sink:
    """Notes what the page reports."""

    def __init__(self) -> None:
        self.told: list[tuple[str, ...]] = []

    def on_line(self, item_id: str, text: str) -> None:
        self.told.append(("line", item_id, text))

    def on_key(self, key: str, item_id: str = "") -> None:
        self.told.append(("key", item_id, key))

    def on_typing(self, text: str) -> None:
        self.told.append(("typing", text))

    def on_input_ended(self) -> None:
        self.told.append(("ended",))

    def on_interrupt(self) -> None:
        self.told.append(("interrupt",))


class Served:
    """One page on a free port."""

    def __init__(self, file: Path | None = None, port: int = 0) -> None:
        self.clock = Clock()
        self.hub = Hub()
        self.sink = Sink()
        self.hub.sink = self.sink
        self.hub.put(view=VIEW, asked="pump", safety="Study only.")
        self.devices = Devices(file, self.clock)
        self.server = GlanceServer(self.hub, self.devices, LOOPBACK, port)
        self.server.start()

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.server.port}"

    @property
    def root(self) -> str:
        return f"http://{self.host}"

    def close(self) -> None:
        self.server.stop()

    def ask(self, path: str = "/", method: str = "GET", **headers: str) -> bytes:
        """Return the raw answer to a request with exactly these headers."""
        told = {"Host": self.host, **headers}
        fields = [f"{name.replace('_', '-')}: {text}" for name, text in told.items()]
        lines = [f"{method} {path} HTTP/1.1", *fields, "Connection: close", "", ""]
        return self.raw("\r\n".join(lines).encode())

    def raw(self, request: bytes) -> bytes:
        """Send bytes as they are; return what comes back until the end."""
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=30) as made:
            got = b""
            try:
                made.sendall(request)
                while part := made.recv(65_536):
                    got += part
            except OSError:
                pass  # refused in the middle of a request
            return got


@contextmanager
def served(file: Path | None = None, port: int = 0) -> Iterator[Served]:
    made = Served(file, port)
    try:
        yield made
    finally:
        made.close()


def status(answer: bytes) -> int:
    """Return the status of a raw answer; 0 where the connection was just closed."""
    return int(answer.split(b" ", 2)[1]) if answer.startswith(b"HTTP/") else 0


class Viewer:
    """A device: its cookies, and what it asks."""

    def __init__(self, page: Served, session: aiohttp.ClientSession) -> None:
        self.page = page
        self.session = session

    async def enter(self, code: str | None = None, origin: str | None = None) -> int:
        body = {"code": self.page.devices.code if code is None else code}
        headers = {"Origin": origin or self.page.root}
        async with self.session.post(f"{self.page.root}/enter", json=body, headers=headers) as got:
            return got.status

    async def here(self) -> str:
        async with self.session.get(f"{self.page.root}/here") as got:
            return await got.text()

    def live(self, origin: str | None = None) -> Any:
        headers = {"Origin": origin or self.page.root}
        return self.session.ws_connect(f"{self.page.root}/live", headers=headers)

    def cookie(self) -> str:
        found = self.session.cookie_jar.filter_cookies(URL(self.page.root))
        return "; ".join(f"{m.key}={m.value}" for m in found.values())


def viewing(page: Served, act: Callable[[Viewer], Awaitable[T]]) -> T:
    """Run ``act`` with a new device."""

    async def run() -> T:
        jar = aiohttp.CookieJar(unsafe=True)  # cookies of addresses too
        async with aiohttp.ClientSession(cookie_jar=jar) as session:
            return await act(Viewer(page, session))

    return asyncio.run(run())


async def screen(live: aiohttp.ClientWebSocketResponse) -> dict[str, Any]:
    """Return the next screen that arrives."""
    while True:
        told: dict[str, Any] = json.loads(await live.receive_str(timeout=60))
        if told["kind"] == "screen":
            return told
