"""The state port over real sockets: TCP, UDP and a WebSocket."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from callout.core.model.state_quantity import StateQuantity
from callout.core.state.board import Board, Move
from callout.core.state.messages import Fault
from callout.state.feed import Feed
from callout.state.listening import MAX_CONNECTIONS, PortUnavailable, StatePort

DECLARED = {"beacon": StateQuantity("beacon")}
HELLO = {"kind": "hello", "version": 1, "run": "a"}
ON: dict[str, Any] = {"kind": "snapshot", "run": "a", "seq": 0, "values": {"beacon": "on"}}


class Sink:
    def __init__(self) -> None:
        self.board = Board()
        self.moves: list[Move] = []
        self.lost = False

    def on_state(self, board: Board, moves: tuple[Move, ...]) -> None:
        self.board = board
        self.moves += moves

    def on_state_lost(self, message: str, hint: str = "") -> None:
        self.lost = True

    def on_state_back(self) -> None:
        self.lost = False


@pytest.fixture
def sink() -> Sink:
    return Sink()


@pytest.fixture
def port(sink: Sink) -> Iterator[StatePort]:
    made = StatePort(Feed(DECLARED, time.monotonic), port=0)
    made.open()
    made.start(sink)
    yield made
    made.close()


def lines(*messages: object) -> bytes:
    texts = (m if isinstance(m, bytes) else json.dumps(m).encode() for m in messages)
    return b"".join(text + b"\n" for text in texts)


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + 20.0
    while not true():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.01)


def connected(port: StatePort) -> socket.socket:
    return socket.create_connection(("127.0.0.1", port.port), timeout=20)


def test_over_tcp_and_a_closed_connection_leaves_nothing_known(port: StatePort, sink: Sink) -> None:
    with connected(port) as bridge:
        bridge.sendall(lines(HELLO, ON))
        until(lambda: sink.board.values == {"beacon": "on"})
    until(lambda: sink.board.values == {})


def test_over_udp(port: StatePort, sink: Sink) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as bridge:
        bridge.sendto(lines(HELLO, ON), ("127.0.0.1", port.port))
        until(lambda: sink.board.values == {"beacon": "on"})
        bridge.sendto(
            lines({**ON, "seq": 1, "values": {"beacon": "off"}}), ("127.0.0.1", port.port)
        )
        until(lambda: sink.board.values == {"beacon": "off"})
    until(lambda: [m.now for m in sink.moves] == ["off"])


def test_over_a_websocket_but_not_from_a_web_page(port: StatePort, sink: Sink) -> None:
    aiohttp = pytest.importorskip("aiohttp")
    url = f"ws://127.0.0.1:{port.port + 1}/"

    async def talk() -> None:
        async with aiohttp.ClientSession() as session:
            with pytest.raises(aiohttp.WSServerHandshakeError):
                await session.ws_connect(url, headers={"Origin": "http://127.0.0.1"})
            async with session.ws_connect(url) as bridge:
                for message in (HELLO, ON):
                    await bridge.send_json(message)
                while sink.board.values != {"beacon": "on"}:
                    await asyncio.sleep(0.01)

    asyncio.run(asyncio.wait_for(talk(), 20))
    until(lambda: sink.board.values == {})


def test_what_a_web_page_can_send_is_closed_at_its_first_line(port: StatePort, sink: Sink) -> None:
    with connected(port) as page:
        page.sendall(b"POST / HTTP/1.1\r\n" + lines(HELLO, ON))
        with contextlib.suppress(ConnectionError):
            assert page.recv(10) == b""
    until(lambda: port.feed.stream.counts.get(Fault.UNREADABLE, 0) == 1)
    assert sink.board.values == {}


def test_too_many_connections_are_closed(port: StatePort) -> None:
    with contextlib.ExitStack() as opened:
        for n in range(MAX_CONNECTIONS):
            one = opened.enter_context(connected(port))
            one.sendall(lines({**HELLO, "run": str(n)}))
        until(lambda: port._open == MAX_CONNECTIONS)
        more = opened.enter_context(connected(port))
        with contextlib.suppress(ConnectionError):
            assert more.recv(10) == b""
    until(lambda: port._open == 0)


def test_another_machine_needs_a_token_and_gets_no_udp(sink: Sink) -> None:
    with pytest.raises(PortUnavailable, match="token"):
        StatePort(Feed(DECLARED, time.monotonic), "0.0.0.0", 0).open()
    made = StatePort(Feed(DECLARED, time.monotonic), "0.0.0.0", 0, "right")
    made.open()
    made.start(sink)
    try:
        with connected(made) as wrong:
            wrong.sendall(lines({**HELLO, "token": "left"}, ON))
            with contextlib.suppress(ConnectionError):
                assert wrong.recv(10) == b""
        assert made.feed.stream.counts == {Fault.UNTRUSTED: 1}
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as udp:
            udp.sendto(lines(HELLO, ON), ("127.0.0.1", made.port))
        with connected(made) as right:
            right.sendall(lines({**HELLO, "token": "right"}, ON))
            until(lambda: sink.board.values == {"beacon": "on"})
        assert made.feed.stream.taken == 2
    finally:
        made.close()


def test_a_port_that_is_taken_is_one_sentence(port: StatePort) -> None:
    with pytest.raises(PortUnavailable, match=f"port {port.port}"):
        StatePort(Feed(DECLARED, time.monotonic), port=port.port).open()


def test_a_bridge_that_falls_silent_is_lost_and_comes_back(sink: Sink) -> None:
    now = 0.0
    feed = Feed(DECLARED, lambda: now)
    feed.start(sink)
    feed.line(lines(HELLO), "p")
    feed.line(lines(ON), "p")
    now = 4.0
    feed.report()
    assert not sink.lost
    now = 6.0
    feed.report()
    assert sink.lost
    feed.line(lines({**ON, "seq": 1}), "p")
    assert not sink.lost


def test_nothing_that_moves_between_two_reports_is_left_out(sink: Sink) -> None:
    feed = Feed(DECLARED, lambda: 0.0)
    feed.start(sink)
    for line in (HELLO, ON):
        feed.line(json.dumps(line), "p")
    for n in range(1, 101):
        value = "on" if n % 2 == 0 else "off"
        told = {"kind": "change", "run": "a", "seq": n, "values": {"beacon": value}}
        feed.line(json.dumps(told), "p")
    feed.gone("nobody")
    assert len(sink.moves) == 100
