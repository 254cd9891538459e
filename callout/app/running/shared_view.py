"""One session on two screens and two keyboards: the terminal, and the page beside it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from threading import Lock

from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.ports.keys import Keys, KeySink
from callout.ports.view import View


class Sharing:
    """What a session needs to be shown elsewhere too."""

    def __init__(self, where: Callable[[], str], view: View, keys: Keys) -> None:
        self.where = where
        self.view = view
        self.keys = keys
        self.sink: KeySink | None = None
        self.typed = ""

    def code_changed(self) -> None:
        """Have the terminal drawn again; safe from any thread."""
        if self.sink:
            self.sink.on_typing(self.typed)


class NotShared:
    """Says why the session is not shown elsewhere."""

    def __init__(self, why: str) -> None:
        self._why = why

    def where(self) -> str:
        """Return one line for the terminal."""
        return self._why


class BesideView:
    """The terminal and the page; the terminal says where else the session is shown."""

    def __init__(self, own: View, shared: Sharing | NotShared) -> None:
        self._own = own
        self._shared = shared
        self._others: tuple[View, ...] = (shared.view,) if isinstance(shared, Sharing) else ()
        self._where = ""
        self._view = ViewModel(title="")

    def open(self, safety: str) -> None:
        """Open both."""
        for view in (self._own, *self._others):
            view.open(safety)

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Show it on both."""
        self._view = view
        for other in self._others:
            other.show(view, news)
        self._show_own(news)

    def typing(self, text: str) -> None:
        """Show the typed reply on both; a new code also redraws the terminal."""
        if isinstance(self._shared, Sharing):
            self._shared.typed = text
        if self._shared.where() != self._where:
            self._show_own(())
        for view in (self._own, *self._others):
            view.typing(text)

    def redraw(self) -> None:
        """The size of the terminal has changed."""
        self._own.redraw()

    def notice(self, message: str, hint: str = "") -> None:
        """Show it on both."""
        for view in (self._own, *self._others):
            view.notice(message, hint)

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """End both."""
        for view in (*self._others, self._own):
            view.finish(summary, journal, safety)

    def close(self) -> None:
        """Restore the terminal; the page stays until the server ends."""
        for view in (self._own, *self._others):
            view.close()

    def _show_own(self, news: Sequence[str]) -> None:
        where = self._shared.where()
        lines = () if where == self._where else (where,)
        self._where = where
        self._own.show(replace(self._view, elsewhere=where), (*lines, *news))


class _Noted:
    """A sink that notes which keyboard each line and key came from, in order of arrival."""

    def __init__(self, sink: KeySink, under_way: deque[Keys], lock: Lock, whose: Keys) -> None:
        self._sink = sink
        self._under_way = under_way
        self._lock = lock
        self._whose = whose

    def on_line(self, item_id: str, text: str) -> None:
        with self._lock:
            self._under_way.append(self._whose)
            self._sink.on_line(item_id, text)

    def on_key(self, key: str, item_id: str = "") -> None:
        with self._lock:
            self._under_way.append(self._whose)
            self._sink.on_key(key, item_id)

    def on_typing(self, text: str) -> None:
        self._sink.on_typing(text)

    def on_input_ended(self) -> None:
        self._sink.on_input_ended()

    def on_interrupt(self) -> None:
        self._sink.on_interrupt()


class BesideKeys:
    """The keyboard and the page."""

    def __init__(self, own: Keys, shared: Sharing) -> None:
        self._own = own
        self._shared = shared
        self._under_way: deque[Keys] = deque()
        self._lock = Lock()

    def start(self, sink: KeySink) -> None:
        """Begin with both."""
        self._shared.sink = sink
        for keys in (self._shared.keys, self._own):
            keys.start(_Noted(sink, self._under_way, self._lock, keys))

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Tell both."""
        self._shared.keys.ask(item_id, idle=idle)
        self._own.ask(item_id, idle=idle)

    def taken(self) -> None:
        """Tell the keyboard it came from, which may be waiting for it."""
        if self._under_way:
            self._under_way.popleft().taken()

    def close(self) -> None:
        """End both."""
        self._shared.sink = None
        self._shared.keys.close()
        self._own.close()


def combined_view(own: View, shared: Sharing | NotShared | None) -> View:
    """Return the terminal's view, combined with the page's if there is one."""
    return own if shared is None else BesideView(own, shared)


def keys_beside(own: Keys, shared: Sharing | NotShared | None) -> Keys:
    """Return the keyboard, combined with the page's presses if there is a page."""
    return BesideKeys(own, shared) if isinstance(shared, Sharing) else own
