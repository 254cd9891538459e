"""The server of the glance page, in a thread of its own.

The session's thread leaves its latest screen in ``hub.py`` and never waits; a slow viewer skips
screens. A press comes back with the id of what was on the page, and ``step`` refuses one for an
earlier item. What guards the page:

- Host and Origin are compared whole.
- A code of 39 bits lets one device in, with five tries a minute. Of its cookie only a hash is
  stored, and scripts cannot read it.
- No path reads a file: a few fixed files and a WebSocket are all there is, and on the page for
  everything (``desk.py``) wishes in JSON and documents under names drawn by lot.
- Connections, viewers, sizes, waits and messages are limited.
- The page's policy lets it load and run nothing but its own files.

Cookies do not know ports: another server on the same address that the same browser visits can see
the cookie. A server that cannot start is one sentence, and the session continues.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
import sys
import threading
from collections.abc import Callable

from callout.core.sentences import web_answers as sentences
from callout.errors import CalloutError
from callout.web.devices import Devices
from callout.web.documents import Desk, Documents
from callout.web.hub import Hub
from callout.web.panel import PanelHub

LOOPBACK = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
_START_S = 20.0
"""A busy machine takes its time."""
_STOP_S = 3.0


class PageUnavailable(CalloutError):
    """The page cannot be shown; the session continues without it."""


class GlanceServer:
    """Serves one session's page.

    address: ``LOOPBACK``, ``EVERYWHERE``, or one address of this machine. port: 0 for any free one.
    """

    def __init__(
        self,
        hub: Hub,
        devices: Devices,
        address: str,
        port: int,
        panel: PanelHub | None = None,
        desk: Desk | None = None,
        documents: Documents | None = None,
    ) -> None:
        self._hub = hub
        self._documents = documents
        self._desk = desk
        self._panel = panel
        self._devices = devices
        self._address = address
        self._thread: threading.Thread | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ready = threading.Event()
        self._stopping: asyncio.Event | None = None
        self._wake: Callable[[], None] = lambda: None
        self.viewers: Callable[[], int] = lambda: 0
        """Number of viewers now."""
        self.port = port

    def start(self) -> None:
        """Listen; raises PageUnavailable."""
        try:
            import aiohttp  # noqa: F401
        except ImportError as error:
            raise PageUnavailable(
                sentences.GLANCE_PAGE_NEEDS_PACKAGE,
                "Install it with: pip install 'callout[glance]'",
            ) from error
        listening = _bound_socket(self._address, self.port)
        self.port = listening.getsockname()[1]
        self._thread = threading.Thread(
            target=self._run, args=(listening,), name="glance", daemon=True
        )
        self._thread.start()
        if not self._ready.wait(_START_S):
            raise PageUnavailable(sentences.GLANCE_PAGE_FAILED, sentences.SESSION_CONTINUES)

    def stop(self) -> None:
        """Send every viewer the last screen and stop; safe to call twice."""
        loop, self._loop = self._loop, None
        if loop is not None and self._stopping is not None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(self._stopping.set)
        if self._thread is not None:
            self._thread.join(_STOP_S)
        self._hub.changed_by(lambda: None)
        if self._panel is not None:
            self._panel.changed_by(lambda: None)

    def run_soon(self, call: Callable[[], None]) -> None:
        """Run ``call`` in the server's thread; does nothing once that has ended."""
        loop = self._loop
        if loop is not None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(call)

    def _run(self, listening: socket.socket) -> None:
        loop = asyncio.new_event_loop()
        loop.set_exception_handler(lambda *_: None)  # the terminal belongs to the session
        try:
            with contextlib.closing(listening):
                loop.run_until_complete(self._serve(listening))
        except Exception:
            return  # the page is gone; the session never depends on it
        finally:
            self._loop = None
            loop.close()

    async def _serve(self, listening: socket.socket) -> None:
        from callout.web.answers import Answers
        from callout.web.protocol import Listening

        self._loop = loop = asyncio.get_running_loop()
        self._stopping = asyncio.Event()
        answers = Answers(self._hub, self._devices, self._panel, self._desk, self._documents)
        self.viewers = lambda: len(answers.viewers)
        self._hub.changed_by(lambda: self.run_soon(answers.wake))
        if self._panel is not None:
            self._panel.changed_by(lambda: self.run_soon(answers.wake))
        handlers = Listening(answers.answer)
        server = await loop.create_server(handlers, sock=listening)
        self._ready.set()
        await self._stopping.wait()
        with contextlib.suppress(NotImplementedError):  # another kind of loop, on Windows
            loop.remove_reader(listening)
        await _finish_rounds()  # accepted sockets become connections, which a closed server refuses
        server.close()
        await answers.goodbye()
        await handlers.shutdown(1.0)
        await _finish_rounds()


async def _finish_rounds() -> None:
    """Let the loop finish what it has begun."""
    for _ in range(5):
        await asyncio.sleep(0)


def _bound_socket(address: str, port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform == "win32":
            made.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((address, port))
        made.listen(64)
    except (OSError, OverflowError) as error:
        made.close()
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise PageUnavailable(
            sentences.glance_port_unusable(port, address, reason),
            sentences.GLANCE_PORT_HINT,
        ) from error
    return made
