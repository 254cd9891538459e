"""What the page shows now: written by the session's thread, read by the server's.

Only the latest screen is kept, so that a slow viewer neither delays the session nor uses memory.
"""

from __future__ import annotations

import json
import secrets
import threading
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from callout.core.conversation.view_model import ViewModel
from callout.outlet import harmless_values
from callout.ports.keys import KeySink
from callout.web.wire import screen_json

NEWS = 40
"""Number of news lines kept for viewers that are late."""
MAX_LINE = 300
"""Characters of a typed reply, as at the terminal."""


@dataclass(frozen=True, slots=True)
class _Shown:
    number: int = 0
    """Counts up with each change, so that a page notices what it missed."""
    view: ViewModel = field(default_factory=lambda: ViewModel(title=""))
    asked: str = ""
    """Id of the current question; returned with every press."""
    typed: str = ""
    notice: str = ""
    safety: str = ""
    over: tuple[str, ...] = ()
    """The summary, once the session is over."""
    stage: str = ""
    """On a page that outlives its sessions: progress of the present one."""
    session: str = ""
    """Id of a finished session."""
    trial: Mapping[str, Any] = field(default_factory=dict)
    """A microphone test, as the page draws it."""
    call: Mapping[str, Any] = field(default_factory=dict)
    """Whether the name of a list is listened for, as the page draws it; outlives sessions."""


class Hub:
    """One session's page."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._shown = _Shown()
        self._news: deque[tuple[int, str]] = deque(maxlen=NEWS)
        self._count = 0
        self._text = (-1, "")
        self._run = secrets.token_hex(4)
        self._on_change: Callable[[], None] = lambda: None
        self.sink: KeySink | None = None
        """Receives presses and replies; None: the session takes none."""

    def changed_by(self, on_change: Callable[[], None]) -> None:
        """Call ``on_change``, which must return at once, whenever something changes."""
        self._on_change = on_change

    def put(self, news: Iterable[str] = (), **changes: Any) -> None:
        """Change what is shown; from any thread, returns at once."""
        with self._lock:
            for line in news:
                self._count += 1
                self._news.append((self._count, line))
            self._shown = replace(self._shown, number=self._shown.number + 1, **changes)
        self._on_change()

    def renew(self, **changes: Any) -> None:
        """Reset, for another session on the same page."""
        with self._lock:
            self._news.clear()
            self._run = secrets.token_hex(4)
            self._shown = _Shown(self._shown.number, call=self._shown.call)
        self.put(**changes)

    @property
    def stage(self) -> str:
        """Progress of the present session."""
        return self._shown.stage

    @property
    def call(self) -> Mapping[str, Any]:
        """What is shown about listening for a list."""
        return self._shown.call

    def latest(self) -> tuple[int, str]:
        """Return the number and the text of the latest screen."""
        with self._lock:
            shown, news = self._shown, list(self._news)
            if self._text[0] == shown.number:
                return self._text
        message = {
            "kind": "screen",
            "run": self._run,
            "view": screen_json(shown.view),
            "asked": shown.asked,
            "typed": shown.typed,
            "notice": shown.notice,
            "safety": shown.safety,
            "over": shown.over,
            "stage": shown.stage,
            "session": shown.session,
            "trial": shown.trial,
            "call": shown.call,
            "news": news,
        }
        text = shown.number, json.dumps(harmless_values(message), ensure_ascii=False)
        with self._lock:
            self._text = text
        return text

    def take(self, told: object) -> bool:
        """Handle a viewer's message; False if the page never sends such a one."""
        if not isinstance(told, dict) or not isinstance(told.get("for"), str):
            return False
        key, line, asked = told.get("key"), told.get("line"), told["for"]
        sink = self.sink
        if isinstance(key, str) and line is None:
            if sink and asked and any(c.key == key for c in self._shown.view.controls):
                sink.on_key(key, asked)
            return True
        if isinstance(line, str) and key is None and len(line) <= MAX_LINE:
            words = " ".join(line.split())
            if sink and asked and words.isprintable() and words:
                sink.on_line(asked, words)
            return True
        return False
