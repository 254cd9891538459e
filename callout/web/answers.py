"""What the page's server answers: three files, the login, and the live screen."""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections import deque

from aiohttp import WSCloseCode, WSMsgType, web

from callout.core.sentences import web_answers as sentences
from callout.web import guard
from callout.web.desk import DeskAnswers
from callout.web.devices import STAY_S, Devices, TooManyTries, WrongCode
from callout.web.documents import DOCUMENTS, Desk, Documents
from callout.web.hub import Hub
from callout.web.page_files import files_of
from callout.web.panel import PanelHub
from callout.web.protocol import plain_answer

MAX_VIEWERS = 12
MAX_BODY = 256
"""Maximum bytes of the only request body: a code."""
MAX_MESSAGE = 2_048
BODY_S = 5.0
BEAT_S = 3.0
"""Maximum seconds between signs of life to a viewer."""
SEND_S = 10.0
"""A viewer that takes longer to accept a message is disconnected; it will reconnect."""
PRESSES, PRESSES_S = 20, 2.0
"""Maximum number of messages from one viewer in this many seconds."""


class Answers:
    """Answers requests; everything runs in the server's thread."""

    def __init__(
        self,
        hub: Hub,
        devices: Devices,
        panel: PanelHub | None = None,
        desk: Desk | None = None,
        documents: Documents | None = None,
    ) -> None:
        self._desk = DeskAnswers(desk, documents or Documents()) if desk else None
        self._hubs: dict[str, Hub | PanelHub] = {"/live": hub}
        if panel is not None:
            self._hubs["/board"] = panel
        self._devices = devices
        self._files = files_of(desk=desk is not None, panel=panel is not None)
        self.viewers: dict[web.WebSocketResponse, asyncio.Event] = {}
        """The connected viewers, with a change signal for each."""
        self._closing = False

    def wake(self) -> None:
        """Note that something changed."""
        for changed in self.viewers.values():
            changed.set()

    async def goodbye(self) -> None:
        """Send everybody the last screen and close."""
        self._closing = True
        self.wake()
        deadline = asyncio.get_running_loop().time() + 1.0
        while self.viewers and asyncio.get_running_loop().time() < deadline:
            await asyncio.sleep(0.02)

    async def answer(self, request: web.BaseRequest) -> web.StreamResponse:
        """Answer one request."""
        host = _arrival_host(request)
        if host is None:
            return plain_answer(421, sentences.WRONG_ADDRESS)
        match request.method, request.raw_path:
            case "GET", path if path in self._files:
                return self._file(path, host)
            case "GET", "/favicon.ico":
                return plain_answer(204)
            case "GET", "/here":
                return plain_answer(200, "in" if self._known(request) else "out")
            case "POST", "/enter":
                return await self._enter(request, host)
            case "GET", path if path in self._hubs:
                return await self._live(request, host, self._hubs[path])
            case method, path if self._desk is not None and _is_for_desk(method, path):
                return await self._at_desk(self._desk, request, host)
        return plain_answer(404, sentences.NOTHING_HERE)

    def _file(self, path: str, host: str) -> web.Response:
        kind, body = self._files[path]
        return web.Response(
            body=body,
            content_type=kind,
            charset="utf-8",
            headers=guard.answer_headers(host),
        )

    async def _enter(self, request: web.BaseRequest, host: str) -> web.Response:
        if not guard.origin_allowed(request.headers.getall("Origin", []), host):
            return plain_answer(403, sentences.FORBIDDEN)
        code = await _given_code(request)
        if code is None:
            return plain_answer(400, sentences.ENTER_CODE)
        try:
            token = self._devices.enter(code, request.remote or "")
        except WrongCode:
            return plain_answer(403, sentences.CODE_WRONG)
        except TooManyTries as error:
            return plain_answer(
                429, sentences.TOO_MANY_ATTEMPTS, **{"Retry-After": str(error.seconds)}
            )
        answer = plain_answer(204)
        answer.set_cookie(
            _cookie_name(host), token, max_age=STAY_S, path="/", httponly=True, samesite="Strict"
        )
        return answer

    async def _at_desk(
        self, desk: DeskAnswers, request: web.BaseRequest, host: str
    ) -> web.StreamResponse:
        """Answer a request, a file or a document view, for an authorised device."""
        if not self._known(request):
            return plain_answer(401, sentences.ENTER_CODE_FIRST)
        if request.method == "GET":
            return desk.document(request.raw_path)
        if not guard.origin_allowed(request.headers.getall("Origin", []), host):
            return plain_answer(403, sentences.FORBIDDEN)
        answer = desk.wish if request.raw_path == "/do" else desk.bring
        return await answer(request, host)

    def _known(self, request: web.BaseRequest) -> bool:
        host = request.headers.get("Host", "")
        return self._devices.knows(request.cookies.get(_cookie_name(host), ""))

    async def _live(
        self, request: web.BaseRequest, host: str, hub: Hub | PanelHub
    ) -> web.StreamResponse:
        if not guard.origin_allowed(request.headers.getall("Origin", []), host):
            return plain_answer(403, sentences.FORBIDDEN)
        if not self._known(request):
            return plain_answer(401, sentences.ENTER_CODE_FIRST)
        if len(self.viewers) >= MAX_VIEWERS or self._closing:
            return plain_answer(503, sentences.TOO_MANY_PAGES, **{"Retry-After": "5"})
        socket = web.WebSocketResponse(
            heartbeat=BEAT_S * 4, max_msg_size=MAX_MESSAGE, compress=False, timeout=2.0
        )
        if not socket.can_prepare(request).ok:
            return plain_answer(426, sentences.LIVE_CONNECTION, Upgrade="websocket")
        self.viewers[socket] = asyncio.Event()
        try:
            await socket.prepare(request)
            await self._both_ways(socket, request.transport, hub)
        finally:
            self.viewers.pop(socket, None)
        return socket

    async def _both_ways(
        self,
        socket: web.WebSocketResponse,
        transport: asyncio.Transport | None,
        hub: Hub | PanelHub,
    ) -> None:
        sending = asyncio.ensure_future(self._send(socket, transport, hub))
        try:
            await self._receive(socket, hub)
        finally:
            if self._closing:  # it is saying goodbye
                await asyncio.wait([sending], timeout=1.0)
            sending.cancel()
            with contextlib.suppress(asyncio.CancelledError, Exception):
                await sending

    async def _send(
        self,
        socket: web.WebSocketResponse,
        transport: asyncio.Transport | None,
        hub: Hub | PanelHub,
    ) -> None:
        """Send the latest screen after each change; screens in between are skipped."""
        changed, sent = self.viewers[socket], -1
        while not socket.closed:
            changed.clear()
            number, text = hub.latest()
            message = '{"kind": "beat"}' if number == sent else text
            sent = number
            try:
                await asyncio.wait_for(socket.send_str(message), SEND_S)
            except (TimeoutError, ConnectionError):
                if transport:
                    transport.abort()
                return
            if self._closing and not changed.is_set():
                await socket.close(code=WSCloseCode.GOING_AWAY, message=b"over")
                return
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(changed.wait(), BEAT_S)

    async def _receive(self, socket: web.WebSocketResponse, hub: Hub | PanelHub) -> None:
        recent: deque[float] = deque(maxlen=PRESSES)
        clock = asyncio.get_running_loop().time
        async for message in socket:
            crowded = len(recent) == PRESSES and clock() - recent[0] < PRESSES_S
            recent.append(clock())
            if message.type is not WSMsgType.TEXT or crowded or not _taken(hub, message.data):
                await socket.close(code=WSCloseCode.POLICY_VIOLATION)
                return


def _is_for_desk(method: str, path: str) -> bool:
    if method == "POST":
        return path in ("/do", "/bring")
    return method == "GET" and path.startswith(DOCUMENTS)


def _taken(hub: Hub | PanelHub, text: str) -> bool:
    try:
        return hub.take(json.loads(text))
    except (ValueError, RecursionError):
        return False


def _arrival_host(request: web.BaseRequest) -> str | None:
    """Return the Host of a request if it names the address it arrived at."""
    told = request.headers.getall("Host", [])
    name = request.transport.get_extra_info("sockname") if request.transport else None
    if not name or not guard.host_allowed(told, (name[0], name[1])):
        return None
    return str(told[0])


def _cookie_name(host: str) -> str:
    """Return the cookie's name; browsers do not separate ports."""
    return f"callout-glance-{host.rpartition(':')[2]}"


async def _given_code(request: web.BaseRequest) -> str | None:
    """Return the code in a request; None if the body is anything else."""
    length = request.content_length
    if request.content_type != "application/json" or length is None or length > MAX_BODY:
        return None
    try:
        async with asyncio.timeout(BODY_S):
            told = json.loads(await request.content.readexactly(length))
    except (ValueError, TimeoutError, asyncio.IncompleteReadError, RecursionError):
        return None
    code = told.get("code") if isinstance(told, dict) else None
    return code if isinstance(code, str) else None
