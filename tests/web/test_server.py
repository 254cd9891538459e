"""The page's server against viewers who mean well and others who do not, without a browser."""

from __future__ import annotations

import asyncio
import gc
import json
import socket
import sys
import threading
import time
from contextlib import ExitStack, suppress
from dataclasses import replace
from pathlib import Path

import aiohttp
import pytest

from callout.web.answers import MAX_BODY, MAX_MESSAGE, MAX_VIEWERS, PRESSES
from callout.web.devices import TRIES_EACH
from callout.web.protocol import EACH, MAX_CONNECTIONS, MAX_FIELD
from callout.web.server import LOOPBACK, GlanceServer, PageUnavailable
from tests.web.page_kit import VIEW, Served, Viewer, screen, served, status, viewing

EVIL = "http://evil.example"


@pytest.fixture(scope="module")
def page():
    with served() as made:
        yield made


def test_a_viewer_sees_what_the_session_shows(page: Served) -> None:
    async def act(viewer: Viewer) -> None:
        assert await viewer.here() == "out"
        assert await viewer.enter() == 204
        assert await viewer.here() == "in"
        async with viewer.live() as live:
            first = await screen(live)
            assert first["view"]["challenge"] == "Fuel pump?"
            assert first["view"]["place"] == "Item 2 of 2"
            assert [row["word"] for row in first["view"]["rows"]] == ["done", "now"]
            page.hub.put(["Right: on."], view=replace(VIEW, challenge="Doors"), asked="doors")
            second = await screen(live)
            assert second["view"]["challenge"] == "Doors?"
            assert second["asked"] == "doors"
            assert second["news"][-1][1] == "Right: on."
        page.hub.put(view=VIEW, asked="pump")

    viewing(page, act)


def test_the_cookie_is_kept_from_scripts_and_other_sites(page: Served) -> None:
    async def act(viewer: Viewer) -> str:
        url, body = f"{page.root}/enter", {"code": page.devices.code}
        async with viewer.session.post(url, json=body, headers={"Origin": page.root}) as got:
            return got.headers["Set-Cookie"]

    told = {part.strip().casefold() for part in viewing(page, act).split(";")}
    assert {"httponly", "samesite=strict", "path=/"} <= told
    assert not any(part.startswith("domain") for part in told)


def test_presses_and_replies_reach_the_session_with_what_they_were_for(page: Served) -> None:
    async def act(viewer: Viewer) -> None:
        await viewer.enter()
        async with viewer.live() as live:
            await screen(live)
            page.sink.told.clear()
            await live.send_json({"key": "f2", "for": "pump"})
            await live.send_json({"key": "f12", "for": "pump"})  # not on offer now
            await live.send_json({"line": "  on\t please ", "for": "pump"})
            await live.send_json({"line": "   ", "for": "pump"})
            await live.send_json({"line": "on\x1b[2J", "for": "pump"})
            await live.send_json({"key": "f2", "for": ""})
            await live.send_json({"key": "space", "for": "pump"})
            while ("key", "pump", "space") not in page.sink.told:
                await asyncio.sleep(0.005)

    viewing(page, act)
    assert page.sink.told == [
        ("key", "pump", "f2"),
        ("line", "pump", "on please"),
        ("key", "pump", "space"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "null",
        '"f2"',
        '{"key": "f2"}',
        '{"key": 2, "for": "pump"}',
        '{"key": "f2", "line": "on", "for": "pump"}',
        '{"line": ["on"], "for": "pump"}',
        '{"key": "f2", "for": {"a": 1}}',
        json.dumps({"line": "a" * 301, "for": "pump"}),
        "[" * 1_500,
        json.dumps({"line": "a" * MAX_MESSAGE, "for": "pump"}),
    ],
)
def test_any_other_message_ends_the_connection(page: Served, text: str) -> None:
    async def act(viewer: Viewer) -> int | None:
        await viewer.enter()
        async with viewer.live() as live:
            await screen(live)
            page.sink.told.clear()
            await live.send_str(text)
            async for message in live:
                assert "beat" in message.data or "screen" in message.data
            return live.close_code

    assert viewing(page, act) in (1008, 1009)  # RFC 6455: policy violation, too big
    assert page.sink.told == []


def test_bytes_and_floods_end_the_connection(page: Served) -> None:
    async def flood(viewer: Viewer) -> int | None:
        await viewer.enter()
        async with viewer.live() as live:
            for _ in range(PRESSES * 3):
                await live.send_json({"key": "f2", "for": "pump"})
            async for _ in live:
                pass
            return live.close_code

    async def binary(viewer: Viewer) -> int | None:
        await viewer.enter()
        async with viewer.live() as live:
            await live.send_bytes(b'{"key": "f2", "for": "pump"}')
            async for _ in live:
                pass
            return live.close_code

    page.sink.told.clear()
    assert viewing(page, flood) == 1008
    assert len(page.sink.told) <= PRESSES
    assert viewing(page, binary) == 1008


def test_without_a_code_nothing_of_the_session_is_told(page: Served) -> None:
    for path in ("/", "/glance.css", "/glance.js", "/here", "/live", "/enter"):
        told = page.ask(path, Origin=page.root)
        assert b"Fuel pump" not in told
        assert b"Line-up" not in told
    assert status(page.ask("/live", Origin=page.root)) == 401


@pytest.mark.parametrize(
    "origin", [EVIL, "null", "", "http://127.0.0.1", "http://127.0.0.1:1", "*"]
)
def test_a_forged_origin_is_refused(page: Served, origin: str) -> None:
    async def act(viewer: Viewer) -> tuple[int, str]:
        assert await viewer.enter(origin=origin or " ") == 403
        await viewer.enter()
        return 0, viewer.cookie()

    _, cookie = viewing(page, act)
    upgrade = {
        "Upgrade": "websocket",
        "Sec_WebSocket_Version": "13",
        "Sec_WebSocket_Key": "MDEyMzQ1Njc4OWFiY2RlZg==",
        "Cookie": cookie,
    }
    assert status(page.ask("/live", Origin=origin, **upgrade)) == 403
    assert status(page.ask("/live", **upgrade)) == 403  # no origin at all
    assert b"Fuel pump" not in page.ask("/live", Origin=origin, **upgrade)


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "127.0.0.1:{port}.evil.example",
        "127.0.0.1.evil.example:{port}",
        "evil.example@127.0.0.1:{port}",
        "0.0.0.0:{port}",
        "[::1]:{port}",
        "",
    ],
)
def test_a_forged_host_is_refused(page: Served, host: str) -> None:
    """DNS rebinding: a hostile name that leads to this machine is never taken for it."""
    named = host.format(port=page.server.port)
    for path in ("/", "/here", "/live", "/glance.js"):
        answer = page.ask(path, Host=named, Origin=f"http://{named}")
        assert status(answer) in (400, 421)
        assert b"<script" not in answer
    twice = f"GET / HTTP/1.1\r\nHost: {page.host}\r\nHost: evil.example\r\n\r\n"
    assert status(page.raw(twice.encode())) in (400, 421)
    assert status(page.raw(b"GET / HTTP/1.0\r\n\r\n")) in (400, 421)


@pytest.mark.parametrize("host", ["127.0.0.1:{port}", "localhost:{port}", "LOCALHOST:{port}"])
def test_the_real_host_is_accepted(page: Served, host: str) -> None:
    assert status(page.ask("/", Host=host.format(port=page.server.port))) == 200


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/../../../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/..%2f..%2fetc/passwd",
        "/..%5c..%5cwindows/win.ini",
        "/....//....//etc/passwd",
        "/glance.js/../../../__init__.py",
        "/glance.js%00.html",
        "//etc/passwd",
        "/page.html",
        "/data/commands.yaml",
        "/.git/config",
        "/glance-devices.json",
        "http://evil.example/",
        "*",
        "/%c0%ae%c0%ae/etc/passwd",
        "\\..\\..\\etc\\passwd",
    ],
)
def test_no_path_leads_to_a_file(page: Served, path: str) -> None:
    answer = page.ask(path)
    assert status(answer) in (400, 404, 421)
    _tells_nothing(answer)


def _tells_nothing(answer: bytes) -> None:
    """No version, path, trace or echo in an answer that refuses."""
    body = answer.partition(b"\r\n\r\n")[2]
    assert len(body) < 60
    for word in (b"aiohttp", b"Python", b"Traceback", b"/work", b"root:", b"callout.", b"etc"):
        assert word not in body
    head = answer.partition(b"\r\n\r\n")[0]
    assert b"aiohttp" not in head
    assert b"Python" not in head


@pytest.mark.parametrize(
    "request_line",
    [
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        b"GET / HTTP/9.9\r\n\r\n",
        b"G\x00T / HTTP/1.1\r\n\r\n",
        b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n\r\n",
        b"POST /enter HTTP/1.1\r\nContent-Length: -5\r\n\r\n",
        b"POST /enter HTTP/1.1\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        b"GET / HTTP/1.1\r\nX: " + b"a" * (MAX_FIELD + 10_000) + b"\r\n\r\n",
        b"GET / HTTP/1.1\r\n" + b"".join(b"X%d: a\r\n" % n for n in range(500)) + b"\r\n",
    ],
    ids=["tls", "version", "nul", "long-line", "negative", "smuggled", "long-field", "many-fields"],
)
def test_bad_requests_are_refused_and_tell_nothing(page: Served, request_line: bytes) -> None:
    answer = page.raw(request_line)
    assert 400 <= status(answer) < 500 or answer == b""
    _tells_nothing(answer)
    assert status(page.ask("/")) == 200


@pytest.mark.parametrize("method", ["HEAD", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "POST"])
def test_other_methods_are_refused(page: Served, method: str) -> None:
    assert status(page.ask("/", method, Origin=page.root)) in (400, 404, 421)


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b"", "application/json"),
        (b"{", "application/json"),
        (b"[]", "application/json"),
        (b'{"code": 5}', "application/json"),
        (b'{"code": "\xff"}', "application/json"),
        (b"[" * MAX_BODY, "application/json"),
        (b'{"code": "AAAA-AAAA"}', "text/plain"),
        (b"code=AAAA", "application/x-www-form-urlencoded"),
        (b'{"code": "' + b"A" * MAX_BODY + b'"}', "application/json"),
    ],
)
def test_a_body_that_is_no_code_is_refused(page: Served, body: bytes, kind: str) -> None:
    head = (
        f"POST /enter HTTP/1.1\r\nHost: {page.host}\r\nOrigin: {page.root}\r\n"
        f"Content-Type: {kind}\r\nContent-Length: {len(body)}\r\nConnection: close\r\n\r\n"
    )
    answer = page.raw(head.encode() + body)
    assert status(answer) == 400
    _tells_nothing(answer)


def test_a_huge_body_is_not_read(page: Served) -> None:
    head = (
        f"POST /enter HTTP/1.1\r\nHost: {page.host}\r\nOrigin: {page.root}\r\n"
        "Content-Type: application/json\r\nContent-Length: 1000000000\r\n\r\n"
    )
    assert status(page.raw(head.encode() + b"{" * 100)) == 400


def test_wrong_codes_are_slowed_down() -> None:
    async def act(viewer: Viewer) -> list[int]:
        tries = [await viewer.enter("AAAA-AAAA") for _ in range(TRIES_EACH)]
        return [*tries, await viewer.enter(), await viewer.enter("AAAA-AAAA")]

    with served() as page:
        assert viewing(page, act) == [403] * TRIES_EACH + [429, 429]


def test_a_code_works_once(page: Served) -> None:
    code = page.devices.code

    async def act(viewer: Viewer) -> int:
        return await viewer.enter(code)

    assert viewing(page, act) == 204
    assert viewing(page, act) == 403


def test_every_answer_carries_the_policy(page: Served) -> None:
    for path in ("/", "/glance.js", "/glance.css", "/here", "/nothing"):
        head = page.ask(path).partition(b"\r\n\r\n")[0].decode()
        assert "default-src 'none'" in head
        assert "unsafe" not in head
        assert "X-Content-Type-Options: nosniff" in head
        assert "Cache-Control: no-store" in head
        assert "Access-Control" not in head
    assert "frame-ancestors 'none'" in page.ask("/").decode()


def test_the_files_name_nothing_outside_themselves(page: Served) -> None:
    for path in ("/", "/glance.js", "/glance.css"):
        body = page.ask(path).partition(b"\r\n\r\n")[2].decode()
        assert "//" not in body.replace("ws://${location.host}", "").replace("// ", "")
        assert "style=" not in body
        assert "innerHTML" not in body
        assert "eval(" not in body


def test_a_thousand_reconnects_leave_nothing_behind() -> None:
    """No task, socket, thread or viewer more than before, and no memory that grows."""

    async def many(viewer: Viewer, count: int) -> None:
        for n in range(count):
            async with viewer.live() as live:
                await screen(live)
                if n % 3 == 0:  # gone without a word
                    live._response.connection.transport.abort()

    async def act(viewer: Viewer) -> tuple[int, int]:
        await viewer.enter()
        await many(viewer, 100)
        before = _held()
        await many(viewer, 900)
        await _until(lambda: page.server.viewers() == 0)
        return before, _held()

    threads = threading.active_count()
    with served() as page:
        before, after = viewing(page, act)
        assert page.server.viewers() == 0
        assert _tasks(page) <= 2
        assert threading.active_count() - threads < 10
        assert after - before < 2_000, "blocks of memory; one a connection would be 900"


def _held() -> int:
    gc.collect()
    return sys.getallocatedblocks()


def _tasks(page: Served) -> int:
    found: list[int] = []
    loop = page.server._loop
    assert loop
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        page.server.run_soon(lambda: found.append(len(asyncio.all_tasks(loop))))
        time.sleep(0.05)
        if found and found[-1] <= 2:
            break
    return found[-1]


async def _until(true) -> None:
    async with asyncio.timeout(10):
        while not true():
            await asyncio.sleep(0.01)


def test_a_viewer_that_reads_nothing_makes_nobody_wait(page: Served) -> None:
    """The session only leaves its latest screen; another viewer gets it all the same."""
    large = replace(VIEW, notes=("n" * 200_000,))

    async def act(viewer: Viewer) -> None:
        await viewer.enter()
        stuck = _stuck(page, viewer.cookie())
        await _until(lambda: page.server.viewers() == 1)
        async with viewer.live() as live:
            await screen(live)
            for n in range(60):
                page.hub.put(view=replace(large, challenge=f"Item {n}"))
            async with asyncio.timeout(10):
                while (await screen(live))["view"]["challenge"] != "Item 59?":
                    pass
        stuck.close()

    viewing(page, act)
    page.hub.put(view=VIEW)


def _stuck(page: Served, cookie: str) -> socket.socket:
    made = socket.socket()
    made.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
    made.connect(("127.0.0.1", page.server.port))
    made.sendall(
        f"GET /live HTTP/1.1\r\nHost: {page.host}\r\nOrigin: {page.root}\r\nCookie: {cookie}\r\n"
        "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
        "Sec-WebSocket-Key: MDEyMzQ1Njc4OWFiY2RlZg==\r\n\r\n".encode()
    )
    return made


def test_there_is_a_limit_of_viewers_and_connections() -> None:
    async def act(viewer: Viewer) -> None:
        await viewer.enter()
        open_ones = [await viewer.live() for _ in range(MAX_VIEWERS)]
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await viewer.live()
        assert refused.value.status == 503
        for live in open_ones:
            await live.close()

    with served() as page:
        viewing(page, act)
        with ExitStack() as idle:
            address = ("127.0.0.1", page.server.port)
            made = [idle.enter_context(socket.create_connection(address)) for _ in range(80)]
            deadline = time.monotonic() + 60
            while sum(map(_closed, made)) < 80 - MAX_CONNECTIONS and time.monotonic() < deadline:
                time.sleep(0.02)
            assert sum(map(_closed, made)) >= 80 - MAX_CONNECTIONS
            assert status(page.ask("/")) == 200, "idle connections keep nobody out"
        deadline = time.monotonic() + 60
        while status(page.ask("/")) != 200 and time.monotonic() < deadline:
            time.sleep(0.05)
        assert status(page.ask("/")) == 200


@pytest.mark.skipif(sys.platform != "linux", reason="a second loopback address is needed")
def test_one_address_leaves_room_for_others() -> None:
    """Each connection has asked for the page and stays open, as a browser's may."""
    with served() as page, ExitStack() as greedy:
        address = ("127.0.0.1", page.server.port)
        asked = f"GET / HTTP/1.1\r\nHost: {page.host}\r\n\r\n".encode()
        answered = 0
        for _ in range(MAX_CONNECTIONS + 4):
            made = greedy.enter_context(
                socket.create_connection(address, source_address=("127.0.0.2", 0))
            )
            with suppress(OSError):
                made.sendall(asked)
                answered += made.recv(12) == b"HTTP/1.1 200"
        assert answered == EACH
        assert status(page.ask("/")) == 200


def _closed(made: socket.socket) -> bool:
    made.setblocking(False)
    try:
        return made.recv(1) == b""
    except BlockingIOError:
        return False
    except OSError:
        return True


def test_a_device_is_known_again_after_a_restart_on_the_same_port(tmp_path: Path) -> None:
    file = tmp_path / "devices.json"

    async def enter(viewer: Viewer) -> str:
        await viewer.enter()
        return viewer.cookie()

    with served(file) as page:
        port, cookie = page.server.port, viewing(page, enter)
    with served(file, port) as again:
        assert again.ask("/here", Cookie=cookie).endswith(b"in")
        assert again.ask("/here", Cookie=cookie + "x").endswith(b"out")


def test_the_last_screen_reaches_the_viewer_before_the_end() -> None:
    async def act(viewer: Viewer) -> tuple[list[str], int | None]:
        await viewer.enter()
        async with viewer.live() as live:
            await screen(live)
            page.hub.put(over=("Line-up: complete.",))
            stopping = asyncio.create_task(asyncio.to_thread(page.server.stop))
            over = (await screen(live))["over"]
            async for _ in live:
                pass
            await stopping
            return over, live.close_code

    with served() as page:
        assert viewing(page, act) == (["Line-up: complete."], 1001)


def test_a_port_in_use_is_one_sentence() -> None:
    with served() as page, pytest.raises(PageUnavailable) as refused:
        GlanceServer(page.hub, page.devices, LOOPBACK, page.server.port).start()
    assert str(page.server.port) in refused.value.message
    assert "--glance-port" in refused.value.hint


def test_the_server_ends_with_its_thread() -> None:
    before = threading.active_count()
    for _ in range(5):
        with served() as page:
            assert status(page.ask("/")) == 200
    assert threading.active_count() == before
