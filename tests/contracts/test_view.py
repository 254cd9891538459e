"""What every view promises (callout/ports/view.py)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from io import StringIO

import pytest
from rich.console import Console
from rich.theme import Theme

from callout.app.running.shared_view import BesideView, NotShared, Sharing
from callout.core.checklist_run.summary import summarise_list
from callout.core.checklist_run.viewing import view_of
from callout.core.conversation.view_model import ViewModel
from callout.ports.view import View
from callout.terminal.plain import PlainView
from callout.terminal.report import report_lines
from callout.terminal.theme import PALETTES, Colours
from callout.terminal.view import RichView
from callout.web.hub import Hub
from callout.web.page import PageKeys, PageView
from tests.core.session_kit import Desk

SAFETY = "For simulation, study and briefing only."


@dataclass
class Looked:
    """A view, and what a person who looks at it has seen so far."""

    view: View
    seen: Callable[[], str]


def _plain() -> Looked:
    stream = StringIO()
    return Looked(PlainView(stream), stream.getvalue)


def _drawn() -> Looked:
    stream = StringIO()
    console = Console(
        file=stream, theme=Theme(PALETTES[Colours.DARK]), width=100, height=30, force_terminal=True
    )
    return Looked(RichView(console=console), stream.getvalue)


def _page() -> Looked:
    hub, seen = Hub(), [""]
    hub.changed_by(lambda: seen.__setitem__(0, seen[0] + hub.latest()[1]))
    return Looked(PageView(hub, report_lines), lambda: seen[0])


def _beside() -> Looked:
    own, page, hub = _plain(), _page(), Hub()
    shared = Sharing(lambda: "Page: http://127.0.0.1", page.view, PageKeys(hub))
    return Looked(BesideView(own.view, shared), lambda: own.seen() + page.seen())


def _not_shared() -> Looked:
    own = _plain()
    return Looked(BesideView(own.view, NotShared("No page: the port is in use.")), own.seen)


MAKERS: dict[str, Callable[[], Looked]] = {
    "plain": _plain,
    "drawn": _drawn,
    "page": _page,
    "terminal and page": _beside,
    "terminal without its page": _not_shared,
}


@pytest.fixture(params=MAKERS)
def looked(request: pytest.FixtureRequest) -> Looked:
    return MAKERS[request.param]()


def _view() -> ViewModel:
    return view_of(Desk().start().state)


def test_safety_is_shown_from_the_beginning(looked: Looked) -> None:
    looked.view.open(SAFETY)
    looked.view.show(_view(), ["Beacon?"])
    looked.view.close()
    assert SAFETY in looked.seen()


def test_what_is_asked_is_shown(looked: Looked) -> None:
    looked.view.open(SAFETY)
    looked.view.show(_view(), ["[1/2] Beacon?"])
    looked.view.close()
    assert "Beacon" in looked.seen() or "B E A C O N" in looked.seen()


def test_a_notice_is_shown_with_what_helps(looked: Looked) -> None:
    looked.view.open(SAFETY)
    looked.view.show(_view(), [])
    looked.view.notice("The microphone is gone.", "Answer on the keyboard.")
    looked.view.close()
    seen = " ".join(looked.seen().split())
    assert "The microphone is gone." in seen
    assert "Answer on the keyboard." in seen


def test_the_end_shows_the_summary(looked: Looked) -> None:
    desk = Desk().start().say("on")
    looked.view.open(SAFETY)
    looked.view.show(view_of(desk.state), [])
    looked.view.finish(summarise_list(desk.state.progress), "/journals/one.jsonl", SAFETY)
    looked.view.close()
    assert next(iter(report_lines(summarise_list(desk.state.progress)))) in looked.seen()


def test_typing_and_another_size_do_no_harm_at_any_time(looked: Looked) -> None:
    looked.view.open(SAFETY)
    looked.view.typing("on")
    looked.view.redraw()
    looked.view.show(_view(), ["Beacon?"])
    looked.view.typing("")
    looked.view.redraw()
    looked.view.close()


def test_it_can_be_closed_twice(looked: Looked) -> None:
    looked.view.open(SAFETY)
    looked.view.close()
    looked.view.close()
