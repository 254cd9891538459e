"""The page's session: started in a thread of its own, shown and answered through the hub.

It is the same session as in the terminal: same runner, same journal, journal first.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Mapping
from typing import Any

from callout.app.running.wishes import HearingKind, StateWish, Wishes
from callout.core.sentences import page as sentences
from callout.core.sentences.page_advice import for_the_page
from callout.errors import CalloutError
from callout.web.hub import Hub
from callout.web.page import PageKeys, PageView

OPENING, TRYING, OVER, FAILED = "opening", "trying", "over", "failed"
LOG = logging.getLogger("callout.page")
LOG.addHandler(logging.NullHandler())
LOG.propagate = False


class Stage:
    """Runs one session at a time. report: a summary in plain lines."""

    def __init__(self, hub: Hub, report: Callable[[Any], Any]) -> None:
        self.hub = hub
        self._report = report
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None
        self.before: Callable[[], None] = lambda: None
        """Called before anything starts, so that other users of the microphone release it."""
        self.after: Callable[[], None] = lambda: None
        """Called when it has ended."""

    @property
    def busy(self) -> bool:
        """Whether a session or a microphone test is running."""
        return self._thread is not None and self._thread.is_alive()

    def wishes(self, told: Mapping[str, Any]) -> Wishes:
        """Return what a page requests: how the person replies, and whether the tool speaks."""
        heard = told.get("replies") != "keyboard"
        return Wishes(
            hearing=HearingKind.MICROPHONE if heard else HearingKind.KEYBOARD,
            voice=False if told.get("silent") is True else None,
            crew_challenges=told.get("crew") is True,
            state=StateWish() if told.get("bridge") is True else None,
            plain=True,
            on_page=True,
            view=PageView(self.hub, self._report, for_the_page),
            keys=PageKeys(self.hub),
        )

    def start(
        self, run: Callable[[], Any], stage: str = OPENING, after: str = OVER, **shown: Any
    ) -> None:
        """Run it in a thread of its own; raises CalloutError while another one is running.

        stage, after: what the page shows before it has started, and after it has ended.
        """
        with self._lock:
            self.must_be_free()
            self.before()
            self.hub.renew(stage=stage, **shown)
            self._thread = threading.Thread(
                target=self._run, args=(run, after), name="session", daemon=True
            )
            self._thread.start()

    def must_be_free(self) -> None:
        """Raise CalloutError while something is running."""
        if self.busy and self.hub.stage == TRYING:
            raise CalloutError(sentences.TRIAL_RUNS, sentences.WAIT_FOR_TRIAL)
        if self.busy:
            raise CalloutError(sentences.SESSION_RUNS, sentences.END_IT_FIRST)

    def close(self, seconds: float) -> None:
        """Interrupt a running session in order, so that it can be resumed."""
        thread, told = self._thread, None
        end = time.monotonic() + seconds
        while thread is not None and thread.is_alive() and time.monotonic() < end:
            sink = self.hub.sink  # it comes when the session has begun
            if sink is not None and sink is not told:
                sink.on_interrupt()
                told = sink
            thread.join(0.05)

    def dismiss(self) -> None:
        """Clear the screen of a finished session."""
        with self._lock:
            if not self.busy:
                self.hub.renew()

    def _run(self, run: Callable[[], Any], after: str) -> None:
        try:
            run()
        except CalloutError as error:
            self.hub.put(stage=FAILED, notice=for_the_page(f"{error.message} {error.hint}".strip()))
        except Exception:
            LOG.exception("a session of the page failed")
            said = f"{sentences.INTERNAL_ERROR} {sentences.NOTHING_LOST}"
            self.hub.put(stage=FAILED, notice=said)
        else:
            self.hub.put(stage=after)
        self.after()
