"""A session on the terminal and on a page at once."""

from __future__ import annotations

import builtins
import re
import socket
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from callout.app.running.glancing import NETWORK_WARNING, glance_page
from callout.app.running.shared_view import (
    BesideKeys,
    BesideView,
    NotShared,
    Sharing,
    combined_view,
    keys_beside,
)
from callout.app.running.wishes import GlanceWish, Wishes
from callout.cli.main import app
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.conversation.view_model import ViewModel
from callout.core.model.utterance import ReplySource
from callout.terminal.report import report_lines
from callout.web.hub import Hub
from callout.web.page import PageKeys, PageView
from tests.app.running.test_runner import RIGHT, Bench
from tests.app.session_fakes import Log, NotingView, ScriptedKeys
from tests.web.page_kit import Sink


class Shown:
    """A hub, and a place whose code can change."""

    def __init__(self) -> None:
        self.hub = Hub()
        self.code = "A"
        self.shared = Sharing(
            lambda: f"page #{self.code}", PageView(self.hub, report_lines), PageKeys(self.hub)
        )


def _shared_bench(keys: list[Any]) -> tuple[Bench, Shown]:
    shown, bench = Shown(), Bench([])
    parts = bench.parts
    own = ScriptedKeys(bench.log, keys)
    object.__setattr__(parts, "view", BesideView(parts.view, shown.shared))
    object.__setattr__(parts, "keys", BesideKeys(own, shown.shared))
    return bench, shown


def test_the_page_answers_as_the_keyboard_does() -> None:
    def hold_and_go_on(sink: object) -> None:
        hub.take({"key": "f3", "for": "beacon"})

    def reply(sink: object) -> None:
        hub.take({"line": "on", "for": "beacon"})

    def go_on(sink: object) -> None:
        hub.take({"key": "f4", "for": "@hold"})

    bench, shown = _shared_bench([hold_and_go_on, go_on, reply, *RIGHT[1:]])
    hub = shown.hub
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    assert summary.holds == 1
    [first] = [
        x for x in bench.journal.records if isinstance(x, r.Replied) and x.item_id == "beacon"
    ]
    assert first.utterance.source is ReplySource.KEYBOARD


def test_a_press_for_an_earlier_item_changes_nothing() -> None:
    def late(sink: object) -> None:
        hub.take({"key": ";", "for": "beacon"})  # defers, were it in time

    bench, shown = _shared_bench(["on", late, *RIGHT[1:]])
    hub = shown.hub
    assert bench.run().deferred == ()
    notes = [view.sentence for view, _ in bench.log.of("shown")]
    assert "You pressed that before this question appeared. Press it again." in notes


def test_each_keyboard_is_told_only_of_its_own() -> None:
    """A page's press must not let the next line of a pipe through before its turn."""
    taken: list[str] = []

    class Keys:
        def __init__(self, name: str) -> None:
            self.name = name

        def start(self, sink: object) -> None:
            self.sink = sink

        def ask(self, item_id: str, *, idle: bool) -> None:
            pass

        def taken(self) -> None:
            taken.append(self.name)

        def close(self) -> None:
            pass

    own, page = Keys("own"), Keys("page")
    both = BesideKeys(own, Sharing(lambda: "", NotingView(Log()), page))
    sink = Sink()
    both.start(sink)
    page.sink.on_key("f2", "a")  # type: ignore[attr-defined]
    own.sink.on_line("a", "on")  # type: ignore[attr-defined]
    both.taken()
    both.taken()
    both.taken()
    assert taken == ["page", "own"]
    assert sink.told == [("key", "a", "f2"), ("line", "a", "on")]


def test_the_terminal_shows_the_place_and_each_new_code() -> None:
    log, shown = Log(), Shown()
    view = BesideView(NotingView(log), shown.shared)
    view.show(ViewModel(title="List"), ["begun"])
    view.show(ViewModel(title="List"), ["next"])
    shown.code = "B"
    view.typing("ab")
    views = [v.elsewhere for v, _ in log.of("shown")]
    assert views == ["page #A", "page #A", "page #B"]
    assert [news for _, news in log.of("shown")] == [
        ("page #A", "begun"),
        ("next",),
        ("page #B",),
    ]
    assert log.of("typing") == ["ab"]


def test_a_new_code_has_the_terminal_drawn_anew() -> None:
    shown, sink = Shown(), Sink()
    shown.shared.code_changed()  # nobody to tell yet
    shown.shared.sink = sink
    shown.shared.typed = "clo"
    shown.shared.code_changed()
    assert sink.told == [("typing", "clo")]


def test_without_the_wish_nothing_is_put_between() -> None:
    log = Log()
    view, keys = NotingView(log), ScriptedKeys(log, [])
    assert combined_view(view, None) is view
    assert keys_beside(keys, None) is keys
    assert keys_beside(keys, NotShared("why")) is keys


def test_a_port_in_use_is_said_and_the_session_goes_on(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        wish = GlanceWish(port=taken.getsockname()[1])
        with glance_page(Wishes(glance=wish), tmp_path) as wishes:
            assert isinstance(wishes.shared, NotShared)
            said = wishes.shared.where()
    assert said.startswith("The glance page cannot open: port ")
    assert "--glance-port" in said
    log = Log()
    view = combined_view(NotingView(log), wishes.shared)
    view.open("Training only.")
    view.show(ViewModel(title="List"), ())
    assert log.of("shown")[0][0].elsewhere == said


def test_a_missing_library_is_said_and_the_session_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.partition(".")[0] == "aiohttp":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    with glance_page(Wishes(glance=GlanceWish()), tmp_path) as wishes:
        assert isinstance(wishes.shared, NotShared)
        assert "pip install 'callout[glance]'" in wishes.shared.where()


@pytest.mark.skipif(sys.platform != "linux", reason="all of 127.0.0.0/8 is this machine there")
def test_at_one_address_it_is_nowhere_else(tmp_path: Path) -> None:
    pytest.importorskip("aiohttp")
    wish = GlanceWish(port=0, address="127.0.0.2")
    with glance_page(Wishes(glance=wish), tmp_path) as wishes:
        assert isinstance(wishes.shared, Sharing)
        told = re.search(r"http://127\.0\.0\.2:(\d+)/", wishes.shared.where())
        assert told
        with socket.create_connection(("127.0.0.2", int(told[1]))):
            pass
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.1", int(told[1])))


@pytest.mark.parametrize("text", ["localhost", "1.2.3", "::1", "300.1.1.1", "\u0661.1.1.1"])
def test_what_is_no_address_is_refused(text: str) -> None:
    result = CliRunner().invoke(app, ["demo", "--glance-address", text])
    assert result.exit_code == 2
    assert "is not an address such as" in result.output


def test_opening_to_the_network_is_said_in_plain_words(tmp_path: Path) -> None:
    pytest.importorskip("aiohttp")
    with glance_page(Wishes(glance=GlanceWish(network=True, port=0)), tmp_path) as wishes:
        assert isinstance(wishes.shared, Sharing)
        assert "open to this network" in wishes.shared.where()
    assert "can see and control" in NETWORK_WARNING
    assert "encrypted" in NETWORK_WARNING
