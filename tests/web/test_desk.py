"""Who may ask the page for everything for something, and what of it is refused; no browser."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from callout.web.desk import MAX_BROUGHT, MAX_WISH
from callout.web.documents import MAX_DOCUMENTS, Documents
from callout.web.server import LOOPBACK, GlanceServer
from tests.web.page_kit import Served, status, viewing


class NotedDesk:
    """Answers with what it was asked, and notes it."""

    def __init__(self) -> None:
        self.asked: list[Mapping[str, Any]] = []
        self.brought: list[tuple[str, int]] = []
        self.go_on = threading.Event()
        self.go_on.set()

    def take(self, wish: Mapping[str, Any]) -> dict[str, Any]:
        self.go_on.wait(30)
        self.asked.append(wish)
        return {"ok": True, "did": wish["do"]}

    def bring(self, name: str, data: bytes) -> dict[str, Any]:
        self.brought.append((name, len(data)))
        return {"ok": True, "bytes": len(data)}


class DeskServed(Served):
    """One page for everything on a free port."""

    def __init__(self) -> None:
        super().__init__()
        self.server.stop()
        self.desk = NotedDesk()
        self.documents = Documents()
        self.server = GlanceServer(
            self.hub, self.devices, LOOPBACK, 0, desk=self.desk, documents=self.documents
        )
        self.server.start()

    def cookie(self) -> str:
        async def let_in(viewer: Any) -> str:
            assert await viewer.enter() == 204
            return str(viewer.cookie())

        return viewing(self, let_in)

    def post(self, path: str, body: bytes, cookie: str, **headers: str) -> bytes:
        told = {
            "Host": self.host,
            "Origin": self.root,
            "Content-Type": "application/json",
            "Content-Length": str(len(body)),
            "Cookie": cookie,
            **{name.replace("_", "-"): text for name, text in headers.items()},
        }
        fields = [f"{name}: {text}" for name, text in told.items() if text]
        head = "\r\n".join([f"POST {path} HTTP/1.1", *fields, "Connection: close", "", ""])
        return self.raw(head.encode() + body)


@pytest.fixture
def page() -> Iterator[DeskServed]:
    made = DeskServed()
    yield made
    made.close()


WISH = json.dumps({"do": "lists"}).encode()


def test_a_device_that_was_let_in_is_answered(page: DeskServed) -> None:
    answer = page.post("/do", WISH, page.cookie())
    assert status(answer) == 200
    assert b'"did": "lists"' in answer
    assert page.desk.asked == [{"do": "lists"}]


def test_nobody_else_is(page: DeskServed) -> None:
    """Without the code, from another site, without an origin, under another name, by GET."""
    cookie = page.cookie()
    foreign = ("http://evil.example", "null", f"https://{page.host}", f"{page.root}/", "")
    assert status(page.post("/do", WISH, "")) == 401
    assert status(page.post("/bring", b"x", "", X_Name="a.pdf")) == 401
    assert [status(page.post("/do", WISH, cookie, Origin=o)) for o in foreign] == [403] * 5
    assert status(page.post("/do", WISH, cookie, Host="evil.example")) == 421
    assert status(page.ask("/do", Cookie=cookie)) == 404
    assert status(page.ask("/bring", Cookie=cookie)) == 404
    assert page.desk.asked == []
    assert page.desk.brought == []


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b'"do"',
        b'{"do": 3}',
        b'{"did": "lists"}',
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"do": ' + b"9" * 5_000 + b"}",
    ],
)
def test_what_no_page_sends_is_refused(page: DeskServed, body: bytes) -> None:
    assert status(page.post("/do", body, page.cookie())) == 400
    assert page.desk.asked == []


def test_forms_and_plain_text_of_other_pages_are_refused(page: DeskServed) -> None:
    cookie = page.cookie()
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""):
        assert status(page.post("/do", WISH, cookie, Content_Type=kind)) == 400
        got = page.post("/bring", b"x", cookie, Content_Type=kind, X_Name="a.pdf")
        assert status(got) == 400


def test_sizes_are_limited_before_anything_is_read(page: DeskServed) -> None:
    cookie = page.cookie()
    huge = str(MAX_WISH + 1)
    assert status(page.post("/do", b"", cookie, Content_Length=huge)) == 413
    kind = "application/octet-stream"
    more = {"Content_Type": kind, "X_Name": "a.pdf", "Content_Length": str(MAX_BROUGHT + 1)}
    assert status(page.post("/bring", b"", cookie, **more)) == 413
    assert status(page.post("/do", WISH, cookie, Transfer_Encoding="chunked")) == 400


def test_a_file_is_brought_under_a_short_plain_name(page: DeskServed) -> None:
    cookie, kind = page.cookie(), "application/octet-stream"
    got = page.post("/bring", b"x" * 10_000, cookie, Content_Type=kind, X_Name="my list.pdf")
    assert status(got) == 200
    assert page.desk.brought == [("my list.pdf", 10_000)]
    for name in ("", "x" * 121, "caf\u00e9.pdf"):
        got = page.post("/bring", b"x", cookie, Content_Type=kind, X_Name=name)
        assert status(got) == 400
    assert len(page.desk.brought) == 1


def test_documents_are_shown_to_devices_let_in_run_nothing_and_are_few(page: DeskServed) -> None:
    cookie = page.cookie()
    path = page.documents.keep("<h1>Debrief</h1><script>alert(1)</script>")
    assert status(page.ask(path)) == 401
    answer = page.ask(path, Cookie=cookie)
    assert status(answer) == 200
    policy = next(x for x in answer.decode().splitlines() if x.startswith("Content-Security"))
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "sandbox" in policy
    assert "allow-scripts" not in policy
    for wrong in ("/shown/", "/shown/x", f"{path}x", "/shown/../devices", "/shown/%2e%2e/x"):
        assert status(page.ask(wrong, Cookie=cookie)) == 404
    for _ in range(MAX_DOCUMENTS):
        page.documents.keep("another")
    assert status(page.ask(path, Cookie=cookie)) == 404


def test_too_much_at_once_is_put_off_and_nothing_waits_for_ever(page: DeskServed) -> None:
    cookie = page.cookie()
    page.desk.go_on.clear()
    found: list[int] = []
    threads = [
        threading.Thread(target=lambda: found.append(status(page.post("/do", WISH, cookie))))
        for _ in range(12)
    ]
    for thread in threads:
        thread.start()
    while 503 not in found:
        threads[0].join(0.02)
    page.desk.go_on.set()
    for thread in threads:
        thread.join()
    assert set(found) == {200, 503}


def test_the_glance_page_takes_no_wishes() -> None:
    made = Served()
    try:
        assert status(made.ask("/do", method="POST")) == 404
        assert status(made.ask("/shown/x")) == 404
        assert status(made.ask("/page.js")) == 404
    finally:
        made.close()
