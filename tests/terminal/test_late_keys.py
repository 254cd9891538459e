"""The keyboard that opens just after the first challenge has begun."""

from __future__ import annotations

import threading

import pytest

from callout.ports.keys import KeySink
from callout.terminal import keys as terminal_keys
from callout.terminal.late_keys import LateKeys
from tests.contracts.test_keys import Sink


class Noted:
    """Notes what is done with the terminal's keyboard."""

    done: list[tuple[str, ...]]
    opened: threading.Event

    def __init__(self, single: tuple[str, ...]) -> None:
        self.done.append(("made", *single))

    def start(self, sink: KeySink) -> None:
        self.done.append(("start",))

    def ask(self, item_id: str, *, idle: bool) -> None:
        self.done.append(("ask", item_id))
        self.opened.set()

    def close(self) -> None:
        self.done.append(("close",))


@pytest.fixture
def noted(monkeypatch: pytest.MonkeyPatch) -> type[Noted]:
    Noted.done, Noted.opened = [], threading.Event()
    monkeypatch.setattr(terminal_keys, "TerminalKeys", Noted)
    return Noted


def test_what_was_asked_before_it_opened_is_asked_then(noted: type[Noted]) -> None:
    keys = LateKeys(("?",), after_s=0.05)
    keys.start(Sink())
    keys.ask("beacon", idle=False)
    assert noted.opened.wait(5)
    keys.ask("pump", idle=True)
    keys.close()
    assert noted.done == [("made", "?"), ("start",), ("ask", "beacon"), ("ask", "pump"), ("close",)]


def test_one_closed_before_it_opened_never_opens(noted: type[Noted]) -> None:
    keys = LateKeys(("?",), after_s=60)
    before = set(threading.enumerate())
    keys.start(Sink())
    keys.close()
    for thread in set(threading.enumerate()) - before:
        thread.join(5)
    assert noted.done == []
