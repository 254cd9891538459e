"""Listens for one bridge: TCP and UDP on one port, a WebSocket on the next; in its own thread.

- Loopback unless wished otherwise. Elsewhere a token must come first, and UDP, whose senders can
  be forged, stays closed.
- The first line of a connection must be a hello: what a web page sends never is. A WebSocket with
  an Origin, which every browser gives, is refused.
- Connections, lines and rates are limited; nothing received is ever run, opened or shown unread.
"""

from __future__ import annotations

import asyncio
import contextlib
import hmac
import ipaddress
import secrets
import socket
import threading
from collections.abc import Awaitable, Callable
from typing import Any

from callout.core.sentences import aircraft as sentences
from callout.core.state.messages import LONGEST, Fault, Kind, Refused, message_in
from callout.errors import CalloutError
from callout.ports.state import StateSink
from callout.state.feed import Feed

LOOPBACK = "127.0.0.1"
PORT = 8770
MAX_CONNECTIONS = 8
HELLO_S = 10.0
"""Time limit for a connection to say hello."""
TICK_S = 0.1
_START_S = 5.0
_STOP_S = 3.0


class PortUnavailable(CalloutError):
    """The port cannot be opened."""


def draw_token() -> str:
    """Return a token for a bridge on another machine."""
    return secrets.token_urlsafe(16)


class StatePort:
    """Accepts state from bridges. port: 0 for any free one. token: empty only on loopback."""

    def __init__(
        self, feed: Feed, address: str = LOOPBACK, port: int = PORT, token: str = ""
    ) -> None:
        self.feed = feed
        self.port = port
        self._address = address
        self._token = token
        self._open = 0
        self._thread: threading.Thread | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stopping: asyncio.Event | None = None
        self._ready = threading.Event()
        self._failure: OSError | None = None
        self.name = "a bridge"

    @property
    def local(self) -> bool:
        """True while only this machine can reach it."""
        return ipaddress.ip_address(self._address).is_loopback

    def open(self) -> None:
        """Listen; raises PortUnavailable."""
        if not self.local and not self._token:
            said = sentences.TOKEN_REQUIRED
            raise PortUnavailable(said, sentences.TOKEN_HINT)
        self._thread = threading.Thread(target=self._run, name="state-port", daemon=True)
        self._thread.start()
        if not self._ready.wait(_START_S) or self._failure is not None:
            reason = self._failure.strerror if self._failure else "it did not start"
            said = sentences.state_port_unusable(self.port, reason)
            raise PortUnavailable(said, sentences.STATE_PORT_HINT)

    def start(self, sink: StateSink) -> None:
        """Report to ``sink`` from now on."""
        self.feed.start(sink)

    def asked(self, item_id: str, attempt: int = 1) -> None:
        """Ignored: the aircraft is live."""

    def close(self) -> None:
        """Stop listening; safe to call twice."""
        self.feed.stop()
        loop, self._loop = self._loop, None
        if loop is not None and self._stopping is not None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(self._stopping.set)
        if self._thread is not None:
            self._thread.join(_STOP_S)

    def _run(self) -> None:
        loop = asyncio.new_event_loop()
        loop.set_exception_handler(lambda *_: None)  # the terminal belongs to the session
        try:
            loop.run_until_complete(self._serve())
        except OSError as error:
            self._failure = error
        finally:
            self._loop = None
            loop.close()
            self._ready.set()

    async def _serve(self) -> None:
        self._loop = loop = asyncio.get_running_loop()
        self._stopping = asyncio.Event()
        async with contextlib.AsyncExitStack() as opened:
            family = socket.AF_INET
            server = await asyncio.start_server(
                self._connected, self._address, self.port, family=family, limit=LONGEST * 4
            )
            opened.push_async_callback(_shut, server)
            self.port = server.sockets[0].getsockname()[1]
            if self.local:
                udp, _ = await loop.create_datagram_endpoint(
                    lambda: _Datagrams(self.feed), (self._address, self.port)
                )
                opened.callback(udp.close)
            web = await self._web(loop)
            if web is not None:
                opened.push_async_callback(_shut, web)
            self._ready.set()
            while not self._stopping.is_set():
                self.feed.report()
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(self._stopping.wait(), TICK_S)
            await self._let_go()

    async def _let_go(self) -> None:
        """Close the remaining connections."""
        own = asyncio.current_task()
        others = [task for task in asyncio.all_tasks() if task is not own]
        for task in others:
            task.cancel()
        await asyncio.gather(*others, return_exceptions=True)
        for _ in range(5):  # closed connections are released in the loop's next rounds
            await asyncio.sleep(0)

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        peer = "tcp " + ":".join(map(str, (writer.get_extra_info("peername") or ("?",))[:2]))

        async def line() -> str | bytes | None:
            return await reader.readline() or None

        try:
            with contextlib.suppress(OSError, ValueError, TimeoutError):
                await self._serve_one(line, peer)
        finally:
            writer.close()
        with contextlib.suppress(OSError):
            await writer.wait_closed()

    async def _serve_one(
        self, line: Callable[[], Awaitable[str | bytes | None]], peer: str
    ) -> None:
        """Read the lines of one connection, which must begin with a valid hello."""
        if self._open >= MAX_CONNECTIONS:
            self.feed.refuse(Fault.TOO_MANY)
            return
        self._open += 1
        try:
            first = await asyncio.wait_for(line(), HELLO_S)
            if first is None or not self._welcome(first):
                return
            self.feed.line(first, peer)
            while (told := await line()) is not None:
                self.feed.line(told, peer)
        finally:
            self._open -= 1
            self.feed.gone(peer)

    def _welcome(self, line: str | bytes) -> bool:
        text = line if isinstance(line, str) else line.decode("utf-8", "surrogateescape")
        try:
            hello = message_in(text)
        except Refused as refused:
            self.feed.refuse(refused.fault)
            return False
        if hello.kind is not Kind.HELLO:
            self.feed.refuse(Fault.EARLY)
            return False
        if self._token and not hmac.compare_digest(hello.token.encode(), self._token.encode()):
            self.feed.refuse(Fault.UNTRUSTED)
            return False
        return True

    async def _web(self, loop: asyncio.AbstractEventLoop) -> asyncio.Server | None:
        """Open the WebSocket if its package is installed; TCP and UDP need none."""
        try:
            from callout.state.websocket import websocket_handlers
        except ImportError:
            return None
        with contextlib.suppress(OSError, OverflowError):
            made: Any = websocket_handlers(self._serve_one, self._address)
            return await loop.create_server(made, self._address, self.port + 1)
        return None


class _Datagrams(asyncio.DatagramProtocol):
    """One line or more in each datagram."""

    def __init__(self, feed: Feed) -> None:
        self._feed = feed

    def datagram_received(self, data: bytes, addr: tuple[Any, ...]) -> None:
        """Take it."""
        peer = f"udp {addr[0]}:{addr[1]}"
        for line in data.split(b"\n"):
            if line.strip():
                self._feed.line(line, peer)


async def _shut(server: asyncio.Server) -> None:
    server.close()
    with contextlib.suppress(TimeoutError):
        await asyncio.wait_for(server.wait_closed(), 1.0)
