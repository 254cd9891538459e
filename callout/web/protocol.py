"""The HTTP server's own answers, connections and waits, kept short and silent."""

from __future__ import annotations

import asyncio
import functools
import logging
import weakref
from collections import Counter
from collections.abc import Awaitable, Callable
from typing import Any

from aiohttp import web

from callout.web.guard import answer_headers

MAX_CONNECTIONS = 48
EACH = 24
"""Connections from one address, so that one device leaves room for others."""
FIRST_REQUEST_S = 10.0
"""Time limit for a new connection to send its first complete request."""
IDLE_S = 20.0
"""How long a connection stays open between requests."""
MAX_LINE = 1_024
"""Bytes of a request line, which contains only a short path."""
MAX_FIELD = 8_190
MAX_HEADERS = 64

LOG = logging.getLogger("callout.web")
LOG.addHandler(logging.NullHandler())
LOG.propagate = False  # a message would spoil the terminal's screen


def plain_answer(status: int, text: str = "", **more: str) -> web.Response:
    """Return a short answer that reveals nothing about the machine."""
    return web.Response(status=status, text=text, headers={**answer_headers(), **more})


class _Handler(web.RequestHandler):
    """One connection."""

    __slots__ = ("__weakref__", "address", "on_lost", "on_made")
    on_lost: Callable[[], None]
    on_made: Callable[[Any], None]
    address: str

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Note its origin."""
        super().connection_made(transport)
        self.address = (transport.get_extra_info("peername") or ("",))[0]
        self.on_made(self)

    def connection_lost(self, exc: BaseException | None) -> None:
        """Make room for another."""
        self.on_lost()
        super().connection_lost(exc)

    def handle_error(
        self,
        request: web.BaseRequest,
        status: int = 500,
        exc: BaseException | None = None,
        message: str | None = None,
    ) -> web.StreamResponse:
        """Report that it failed, and nothing else."""
        if request.writer.output_size > 0:
            raise ConnectionError("an answer was under way")
        answer = plain_answer(status, "Refused.\n" if status < 500 else "Failed.\n")
        answer.force_close()
        return answer


class Listening(web.Server):
    """Creates a handler for each connection, up to a limit."""

    def __init__(self, answer: Callable[[web.BaseRequest], Awaitable[web.StreamResponse]]) -> None:
        limits: dict[str, Any] = {
            "keepalive_timeout": IDLE_S,
            "lingering_time": 2.0,
            "access_log": None,
            "logger": LOG,
            "max_line_size": MAX_LINE,
            "max_field_size": MAX_FIELD,
            "max_headers": MAX_HEADERS,
        }
        super().__init__(self._noted(answer), **limits)
        self._limits = limits
        self._open = 0
        self._silent: dict[Any, None] = {}
        """Connections that have sent nothing, oldest first."""
        self._heard: weakref.WeakSet[Any] = weakref.WeakSet()
        self._from: Counter[str] = Counter()
        """Number of open connections from each address."""

    def __call__(self) -> Any:
        """Return the handler of a new connection."""
        if self._open >= MAX_CONNECTIONS and not self._made_room():
            return _Full()
        loop = asyncio.get_running_loop()
        handler = _Handler(self, loop=loop, **self._limits)
        timer = loop.call_later(FIRST_REQUEST_S, self._too_slow, weakref.ref(handler))
        handler.address = ""
        handler.on_made = self._made
        handler.on_lost = functools.partial(self._lost, timer, weakref.ref(handler))
        self._open += 1
        self._silent[handler] = None
        return handler

    def _made(self, handler: _Handler) -> None:
        self._from[handler.address] += 1
        if self._from[handler.address] > EACH:
            self._silent.pop(handler, None)
            if self._made_room(handler.address):
                self._silent[handler] = None
            elif handler.transport is not None:
                handler.transport.abort()

    def _made_room(self, address: str = "") -> bool:
        """Close the oldest connection that has sent no request yet; False: there is none.

        address: only one from there.
        """
        for handler in list(self._silent):
            transport = getattr(handler, "transport", None)
            if transport is not None and address in ("", handler.address):
                del self._silent[handler]
                transport.abort()
                return True
        return False

    def _noted(
        self, answer: Callable[[web.BaseRequest], Awaitable[web.StreamResponse]]
    ) -> Callable[[web.BaseRequest], Awaitable[web.StreamResponse]]:
        async def noted(request: web.BaseRequest) -> web.StreamResponse:
            self._heard.add(request.protocol)
            self._silent.pop(request.protocol, None)
            return await answer(request)

        return noted

    def _lost(self, timer: asyncio.TimerHandle, reference: weakref.ref[Any]) -> None:
        timer.cancel()
        handler = reference()
        self._silent.pop(handler, None)
        self._open -= 1
        if handler is not None and handler.address:
            self._from[handler.address] -= 1
            self._from += Counter()  # an address without connections is forgotten

    def _too_slow(self, reference: weakref.ref[Any]) -> None:
        handler = reference()
        transport = getattr(handler, "transport", None)
        if handler is not None and handler not in self._heard and transport is not None:
            transport.abort()


class _Full(asyncio.Protocol):
    """Closes a connection beyond the limit."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        transport.close()
