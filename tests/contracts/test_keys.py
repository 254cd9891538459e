"""What every keyboard promises (callout/ports/keys.py)."""

from __future__ import annotations

import queue
from collections.abc import Callable
from dataclasses import dataclass, field
from io import StringIO

import pytest
from prompt_toolkit.keys import Keys as K

from callout.app.running.shared_view import BesideKeys, Sharing
from callout.core.conversation.view_model import Control, ViewModel
from callout.ports.keys import Keys
from callout.terminal.keys import LineEditor, TerminalKeys
from callout.terminal.late_keys import LateKeys
from callout.terminal.lines import LineKeys
from callout.web.hub import Hub
from callout.web.page import PageKeys, PageView

WAIT_S = 10.0
"""A deadline for a test that hangs, not a measure."""


@dataclass
class Sink:
    """Keeps what is reported, in order."""

    told: queue.Queue[tuple[str, ...]] = field(default_factory=queue.Queue)

    def on_line(self, item_id: str, text: str) -> None:
        self.told.put(("line", item_id, text))

    def on_key(self, key: str, item_id: str = "") -> None:
        self.told.put(("key", key))

    def on_typing(self, text: str) -> None:
        """What stands on the line is not kept here."""

    def on_input_ended(self) -> None:
        self.told.put(("ended",))

    def on_interrupt(self) -> None:
        self.told.put(("interrupt",))

    def next(self) -> tuple[str, ...]:
        return self.told.get(timeout=WAIT_S)


class _Edited:
    """The editor of the full screen, without a terminal: fed key by key."""

    def __init__(self) -> None:
        self.editor: LineEditor | None = None

    def start(self, sink: Sink) -> None:
        self.editor = LineEditor(sink, ("?",))

    def ask(self, item_id: str, *, idle: bool) -> None:
        assert self.editor
        self.editor.ask(item_id)

    def taken(self) -> None:
        """Nothing waits."""

    def close(self) -> None:
        """Nothing is open."""

    def type(self) -> None:
        assert self.editor
        for letter in "on":
            self.editor.press(letter, letter)
        self.editor.press(K.ControlM.value, "\r")
        self.editor.press("?", "?")


@dataclass
class Board:
    """A keyboard, and what makes a person type "on" and then press "?" on it."""

    keys: Keys
    type: Callable[[], None] = lambda: None


def _edited() -> Board:
    made = _Edited()
    return Board(made, made.type)


def _lines(*, one_by_one: bool) -> Board:
    return Board(LineKeys(StringIO("on\n?\n"), ("?",), one_by_one=one_by_one))


def _page() -> Board:
    hub = Hub()
    hub.put(view=ViewModel(title="", controls=(Control("?", "help"),)))

    def type_there() -> None:
        hub.take({"for": "beacon", "line": "on"})
        hub.take({"for": "beacon", "key": "?"})

    return Board(PageKeys(hub), type_there)


def _beside() -> Board:
    own, page = _edited(), _page()
    shared = Sharing(lambda: "", PageView(Hub(), lambda summary: ()), page.keys)
    return Board(BesideKeys(own.keys, shared), own.type)


MAKERS: dict[str, Callable[[], Board]] = {
    "full screen": _edited,
    "lines of a terminal": lambda: _lines(one_by_one=False),
    "lines of a pipe": lambda: _lines(one_by_one=True),
    "page": _page,
    "terminal and page": _beside,
}


@pytest.fixture(params=MAKERS)
def board(request: pytest.FixtureRequest) -> Board:
    return MAKERS[request.param]()


def test_a_line_and_a_key_are_reported_in_order(board: Board) -> None:
    sink = Sink()
    board.keys.start(sink)
    board.keys.ask("beacon", idle=True)
    board.type()
    kind, _, text = sink.next()
    assert (kind, text) == ("line", "on")
    board.keys.taken()
    board.keys.ask("beacon", idle=True)
    assert sink.next() == ("key", "?")
    board.keys.close()


def test_a_line_is_for_what_was_asked_when_it_was_begun(board: Board) -> None:
    sink = Sink()
    if isinstance(board.keys, LineKeys):
        pytest.skip("a line of a stream has no beginning")
    board.keys.start(sink)
    board.keys.ask("beacon", idle=True)
    board.type()
    board.keys.ask("pump", idle=True)
    assert sink.next() == ("line", "beacon", "on")
    board.keys.close()


@pytest.mark.parametrize(
    "keys",
    [TerminalKeys(("?",)), LateKeys(("?",)), PageKeys(Hub())],
    ids=["terminal", "late", "page"],
)
def test_one_that_never_began_can_be_asked_and_closed(keys: Keys) -> None:
    keys.ask("beacon", idle=True)
    keys.taken()
    keys.close()
    keys.close()


def test_it_can_be_closed_twice(board: Board) -> None:
    board.keys.start(Sink())
    board.keys.close()
    board.keys.close()


def test_the_end_of_a_pipe_is_reported_after_its_last_line() -> None:
    sink, keys = Sink(), LineKeys(StringIO("on\n"), (), one_by_one=True)
    keys.start(sink)
    keys.ask("beacon", idle=True)
    assert sink.next() == ("line", "beacon", "on")
    keys.taken()
    keys.ask("pump", idle=True)
    assert sink.next() == ("ended",)
