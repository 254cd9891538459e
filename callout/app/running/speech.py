"""Says one thing at a time from its own thread; a new text interrupts the previous one."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol

from callout.ports.speaking import Speaker


class SpeechSink(Protocol):
    """Where the voice reports; every call is safe from any thread."""

    def on_spoken(self, token: int, spoken: bool) -> None:
        """Report that the voice has finished."""

    def on_voice_failure(self, message: str, hint: str) -> None:
        """Report that the voice has failed for good."""


@dataclass(frozen=True, slots=True)
class _Due:
    text: str
    token: int
    """Returned in ``SpeechFinished``."""
    pace: float
    """Factor on the usual speed."""


def nothing_ahead(texts: Iterable[str]) -> None:
    """Prepare nothing: the voice renders its sound when it is due."""


class Speech:
    """A speaker that never makes the session wait.

    audible: False for a silent speaker, after which no pause is needed before listening. set_rate:
    called with the pace (1.0 is the voice's own) before each text. prepare: is given texts that may
    be said soon.
    """

    def __init__(
        self,
        speaker: Speaker,
        *,
        audible: bool = True,
        set_rate: Callable[[float], None] = lambda pace: None,
        prepare: Callable[[Iterable[str]], None] = nothing_ahead,
    ) -> None:
        self._speaker = speaker
        self._audible = audible
        self._set_rate = set_rate
        self.prepare = prepare
        """Prepares texts that may be said soon; returns at once."""
        self._due: _Due | None = None
        self._changed = threading.Condition()
        self._closed = False
        self._reported = False
        self._thread: threading.Thread | None = None

    @property
    def audible(self) -> bool:
        """False if texts are only shown."""
        return self._audible

    def start(self, sink: SpeechSink) -> None:
        """Start to take orders."""
        self._thread = threading.Thread(target=self._work, args=(sink,), name="speech", daemon=True)
        self._thread.start()

    def say(self, text: str, token: int, pace: float) -> None:
        """Say ``text`` instead of whatever is being said."""
        with self._changed:
            self._speaker.stop()  # before the worker can begin with the new text
            self._due = _Due(text, token, pace)
            self._changed.notify()

    def hush(self) -> None:
        """Stop speaking."""
        with self._changed:
            self._due = None
            self._speaker.stop()

    def close(self) -> None:
        """End the voice; safe to call twice."""
        with self._changed:
            self._closed = True
            self._due = None
            self._changed.notify()
        self._speaker.stop()
        self._speaker.close()
        if self._thread:
            self._thread.join(timeout=2)

    def finish(self, timeout: float) -> None:
        """Wait until the last text has been said, at most ``timeout`` seconds."""
        with self._changed:
            self._changed.wait_for(lambda: self._due is None or self._closed, timeout)

    def _work(self, sink: SpeechSink) -> None:
        while (due := self._next()) is not None:
            self._set_rate(due.pace)
            spoken = self._speaker.say(due.text)
            self._done(due)
            sink.on_spoken(due.token, spoken and self._audible)
            self._report(sink)

    def _next(self) -> _Due | None:
        with self._changed:
            self._changed.wait_for(lambda: self._due is not None or self._closed)
            return None if self._closed else self._due

    def _done(self, due: _Due) -> None:
        with self._changed:
            if self._due is due:
                self._due = None
            self._changed.notify()

    def _report(self, sink: SpeechSink) -> None:
        failure = str(getattr(self._speaker, "failure", ""))
        if failure and not self._reported and not self._closed:
            self._reported = True
            sink.on_voice_failure(failure, str(getattr(self._speaker, "hint", "")))
