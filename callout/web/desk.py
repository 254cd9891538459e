"""The page for everything: requests in JSON, uploaded files, and documents to look at.

A request changes or returns something and is answered in a thread of its own; only a page from this
server, on an authorised device, may send one. Documents are whole pages made here (a debrief, a
card): each has a random name, only the last few are kept, and the policy sent with one lets it run
nothing and load nothing.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Mapping
from typing import Any

from aiohttp import web

from callout.core.sentences import web_answers as sentences
from callout.web.documents import Desk, Documents
from callout.web.guard import HEADERS, answer_headers
from callout.web.protocol import LOG, plain_answer

MAX_WISH = 2_500_000
"""Bytes of a request: the text of a list may be 1 MB, and JSON makes it longer."""
MAX_BROUGHT = 25_000_000
"""Bytes of a manual or a photo."""
WISH_S, BROUGHT_S = 20.0, 60.0
"""A body that takes longer to arrive is abandoned."""
AT_ONCE, BROUGHT_AT_ONCE = 6, 1
"""How many are processed at the same time."""
MAX_NAME = 120
_DOCUMENT_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; "
    "media-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; "
    "sandbox allow-modals"
)


class DeskAnswers:
    """Answers for a ``Desk``; authorisation has been checked before. Runs in the server's
    thread.
    """

    def __init__(self, desk: Desk, documents: Documents) -> None:
        self._desk = desk
        self._documents = documents
        self._room = asyncio.Semaphore(AT_ONCE)
        self._room_for_files = asyncio.Semaphore(BROUGHT_AT_ONCE)

    def document(self, path: str) -> web.Response:
        """Answer with a page made here."""
        body = self._documents.find(path)
        if body is None:
            return plain_answer(404, sentences.NO_LONGER_KEPT)
        headers = {**HEADERS, "Content-Security-Policy": _DOCUMENT_POLICY}
        headers["X-Frame-Options"] = "SAMEORIGIN"
        return web.Response(body=body, content_type="text/html", charset="utf-8", headers=headers)

    async def wish(self, request: web.BaseRequest, host: str) -> web.Response:
        """Answer a request."""
        body = await _given_body(request, "application/json", MAX_WISH, WISH_S)
        if isinstance(body, web.Response):
            return body
        try:
            told = json.loads(body)
        except (ValueError, RecursionError):
            told = None
        if not isinstance(told, dict) or not isinstance(told.get("do"), str):
            return plain_answer(400, sentences.NOT_FROM_THE_PAGE)
        if self._room.locked():
            return plain_answer(503, sentences.TOO_MANY_REQUESTS, **{"Retry-After": "1"})
        async with self._room:
            return _json_answer(await asyncio.to_thread(self._desk.take, told), host)

    async def bring(self, request: web.BaseRequest, host: str) -> web.Response:
        """Take a file: the body contains its bytes, an ASCII header its name."""
        name = request.headers.get("X-Name", "")
        if not name.isascii() or not name.isprintable() or not 0 < len(name) <= MAX_NAME:
            return plain_answer(400, sentences.FILE_NEEDS_NAME)
        if self._room_for_files.locked():
            return plain_answer(503, sentences.ANOTHER_FILE_BEING_READ, **{"Retry-After": "5"})
        async with self._room_for_files:
            kind = "application/octet-stream"
            body = await _given_body(request, kind, MAX_BROUGHT, BROUGHT_S)
            if isinstance(body, web.Response):
                return body
            return _json_answer(await asyncio.to_thread(self._desk.bring, name, body), host)


def _json_answer(told: Mapping[str, Any], host: str) -> web.Response:
    text = json.dumps(told, ensure_ascii=True)
    kind = "application/json"
    return web.Response(text=text, content_type=kind, headers=answer_headers(host))


async def _given_body(
    request: web.BaseRequest, kind: str, most: int, seconds: float
) -> bytes | web.Response:
    """Return the body of a request, or why it is refused."""
    length = request.content_length
    told = "Content-Type" in request.headers and request.content_type == kind
    if not told or length is None:
        return plain_answer(400, sentences.NOT_FROM_THE_PAGE)
    if length > most:
        LOG.debug("a body of %d bytes was refused", length)
        answer = plain_answer(413, sentences.TOO_LARGE)
        answer.force_close()
        return answer
    try:
        async with asyncio.timeout(seconds):
            return await request.content.readexactly(length)
    except (TimeoutError, asyncio.IncompleteReadError):
        return plain_answer(400, sentences.ARRIVED_INCOMPLETE)
