"""A file server on the loopback address that misbehaves as told."""

from __future__ import annotations

import contextlib
import hashlib
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass
class Served:
    """What the server offers, how it misbehaves, and what it was asked."""

    data: bytes
    breaks: list[int] = field(default_factory=list)
    """For each coming request, after how many bytes the connection is cut."""
    ranges: bool = True
    sized: bool = True
    etag: str | None = None
    modified: str | None = None
    too_long: int = 0
    """Bytes announced beyond what is sent."""
    status: list[int] = field(default_factory=list)
    """For each coming request, an error to answer with."""
    moved: dict[str, str] = field(default_factory=dict)
    """Path -> address it leads to."""
    headers: dict[str, str] = field(default_factory=dict)
    wrong_range: bool = False
    asked: list[tuple[str, str | None, str | None]] = field(default_factory=list)
    """Path, Range and If-Range of each request."""
    sent: int = 0
    """Body bytes written in all."""

    def version(self) -> str:
        return self.etag if self.etag is not None else f'"{hashlib.md5(self.data).hexdigest()}"'


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    served: Served

    def do_GET(self) -> None:
        asked = self.headers.get("Range"), self.headers.get("If-Range")
        self.served.asked.append((self.path, *asked))
        self.close_connection = True
        if self.path in self.served.moved:
            self._head(302, {"Location": self.served.moved[self.path], "Content-Length": "0"})
        elif self.served.status:
            self._head(self.served.status.pop(0), {"Content-Length": "0"})
        else:
            self._body(*asked)

    def _body(self, asked: str | None, unless: str | None) -> None:
        data, start = self.served.data, 0
        same = unless in (None, self.served.version(), self.served.modified)
        if asked and self.served.ranges and same:
            start = int(asked.removeprefix("bytes=").rstrip("-"))
            if start >= len(data):
                self._head(416, {"Content-Range": f"bytes */{len(data)}", "Content-Length": "0"})
                return
        self._head(206 if start else 200, self._headers(start))
        rest = data[start:]
        limit = self.served.breaks.pop(0) if self.served.breaks else len(rest)
        self.wfile.write(rest[:limit])
        self.served.sent += min(limit, len(rest))

    def _headers(self, start: int) -> dict[str, str]:
        total = len(self.served.data)
        headers = {"ETag": self.served.version(), **self.served.headers}
        if self.served.modified:
            headers["Last-Modified"] = self.served.modified
        if self.served.sized:
            headers["Content-Length"] = str(total - start + self.served.too_long)
        if start:
            first = start + 7 if self.served.wrong_range else start
            headers["Content-Range"] = f"bytes {first}-{total - 1}/{total}"
        return headers

    def _head(self, status: int, headers: dict[str, str]) -> None:
        self.send_response(status)
        for name, value in headers.items():
            if value:
                self.send_header(name, value)
        self.send_header("Connection", "close")
        self.end_headers()

    def log_message(self, format: str, *args: object) -> None:
        """Keep quiet."""


@contextlib.contextmanager
def serving(served: Served) -> Iterator[str]:
    """Serve on a free loopback port; yields the address without a path."""
    handler = type("Handler", (_Handler,), {"served": served})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
