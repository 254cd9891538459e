"""A WebSocket bridge: one message is one line."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable

from aiohttp import WSMsgType, web

from callout.core.sentences import aircraft as sentences
from callout.core.state.messages import LONGEST

_LOG = logging.getLogger("callout.state")
_LOG.addHandler(logging.NullHandler())
_LOG.propagate = False  # a message would spoil the terminal's screen

Lines = Callable[[], Awaitable[str | bytes | None]]
Serve = Callable[[Lines, str], Awaitable[None]]


def websocket_handlers(serve: Serve, address: str) -> web.Server:
    """Return the handlers for connections that arrive at ``address``."""

    async def answer(request: web.BaseRequest) -> web.StreamResponse:
        upgrade = web.WebSocketResponse(max_msg_size=LONGEST, compress=False, heartbeat=10.0)
        if "Origin" in request.headers or request.raw_path != "/":
            return web.Response(status=403, text=sentences.BRIDGE_ONLY)
        if not upgrade.can_prepare(request).ok:
            return web.Response(status=426, text=sentences.WEBSOCKET_ONLY)
        await upgrade.prepare(request)

        async def line() -> str | bytes | None:
            message = await upgrade.receive()
            return message.data if message.type in (WSMsgType.TEXT, WSMsgType.BINARY) else None

        peername = request.transport.get_extra_info("peername") if request.transport else None
        await serve(line, f"ws {(peername or ('?', 0))[0]}:{(peername or ('?', 0))[1]}")
        await upgrade.close()
        return upgrade

    return web.Server(answer, access_log=None, logger=_LOG)
