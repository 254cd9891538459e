"""The embedded voice behind the speaking port: rendered ahead, starts and stops at once."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator

from callout.arithmetic import Floats
from callout.core.sentences import sound_devices as sentences
from callout.errors import CalloutError, EngineUnavailable
from callout.speaking.early import shared_renderer
from callout.speaking.embedded.rendering import FIRST, Renderer, Timbre, sentence_pause
from callout.speaking.embedded.waveform import RATE
from callout.speaking.outlets import Outlet, StreamOutlet, found_outlet

USUAL_RATE = 180
_START_S = 10.0
"""Time limit for loading the weights and opening the device."""
_MOST_AHEAD = 64
_MOST_FAILURES = 2


class EmbeddedVoice:
    """Speaks with the weights in the package; needs no other program or library.

    rate: words per minute; volume: 0 to 1; timbre: which of the two voices. All may be set at any
    time and apply from the next ``say``. Weights and device are loaded in the background. After a
    second consecutive failure ``failure`` says why, and the voice stays silent until ``revive``.
    """

    name = "voice"

    def __init__(
        self,
        *,
        rate: int = USUAL_RATE,
        volume: float = 1.0,
        timbre: Timbre = FIRST,
        outlet: Callable[[], Outlet] = found_outlet,
        renderer: Callable[[], Renderer] = shared_renderer,
        start_s: float = _START_S,
    ) -> None:
        self.rate, self.volume, self.timbre = rate, volume, timbre
        self.failure = self.hint = ""
        self._make_outlet, self._make_renderer = outlet, renderer
        self._outlet: Outlet | None = None
        self._renderer: Renderer | None = None
        self._fault: CalloutError | None = None
        self._start_s = start_s
        self._failures = 0
        self._one_at_a_time = threading.Lock()
        self._speaking, self._cut = threading.Event(), threading.Event()
        self._loaded, self._closed = threading.Event(), threading.Event()
        self._ahead: list[str] = []
        self._due = threading.Semaphore(0)
        self._worker = threading.Thread(target=self._work, name="voice", daemon=True)
        self._worker.start()

    def say(self, text: str) -> bool:
        """Speak and return when it is over: True if spoken, False if interrupted or failed.

        Never raises; returns False at once after a permanent failure.
        """
        with self._one_at_a_time:
            if self._closed.is_set() or self.failure:
                return False
            if not text.strip():
                return True
            self._cut.clear()
            self._speaking.set()
            try:
                return self._judge(self._speak(text))
            except CalloutError as error:
                return self._failed(error)
            except Exception as error:  # nothing in the voice may end the session
                return self._failed(EngineUnavailable(sentences.voice_failed(error)))
            finally:
                self._speaking.clear()

    def _speak(self, text: str) -> bool:
        renderer, outlet = self._ready()
        return outlet.play(self._parts(renderer, text), RATE, self._cut)

    def _ready(self) -> tuple[Renderer, Outlet]:
        if not self._loaded.wait(self._start_s):
            raise EngineUnavailable(sentences.VOICE_DID_NOT_START)
        if self._renderer is None:
            raise self._fault or EngineUnavailable(sentences.VOICE_NOT_LOADED)
        if self._outlet is None:
            self._outlet = self._make_outlet()
        return self._renderer, self._outlet

    def _parts(self, renderer: Renderer, text: str) -> Iterator[Floats]:
        volume = min(max(self.volume, 0.0), 1.0)
        for n, sound in enumerate(renderer.sentences(text, self.rate, self.timbre)):
            if n:
                yield sentence_pause()
            yield sound * volume

    def _judge(self, spoken: bool) -> bool:
        self._failures = 0
        return spoken

    def _failed(self, error: CalloutError) -> bool:
        if self._cut.is_set():
            return False
        outlet, self._outlet = self._outlet, None
        if outlet is not None:
            outlet.close()
        self._failures += 1
        if self._failures >= _MOST_FAILURES:
            self.failure, self.hint = error.message, error.hint
        return False

    def sound(self, tone: Floats, rate: int) -> bool:
        """Play a short tone over the speech; False if that is impossible."""
        outlet = self._outlet
        if not isinstance(outlet, StreamOutlet):
            return False
        try:
            outlet.sound(tone * min(max(self.volume, 0.0), 1.0), rate)
        except CalloutError:
            return False
        return True

    def stop(self) -> None:
        """Stop the current speech."""
        if self._speaking.is_set():
            self._cut.set()

    def prepare(self, texts: Iterable[str]) -> None:
        """Render what may be said soon, in the background; replaces earlier preparations."""
        self._ahead = list(texts)[:_MOST_AHEAD]
        self._due.release()

    def revive(self) -> None:
        """Try again after ``failure``, for example when a speaker was plugged in."""
        self.failure = self.hint = ""
        self._failures = 0

    def close(self) -> None:
        """End the voice; safe to call twice."""
        self._closed.set()
        self._cut.set()
        self._due.release()
        with self._one_at_a_time:
            outlet, self._outlet = self._outlet, None
        if outlet is not None:
            outlet.close()

    def _work(self) -> None:
        self._load()
        while not self._closed.is_set():
            self._due.acquire()
            while self._ahead and not self._closed.is_set():
                self._render_ahead(self._ahead.pop(0))

    def _load(self) -> None:
        try:
            self._renderer = self._make_renderer()
            self._outlet = self._make_outlet()
        except CalloutError as error:
            self._fault = error
        except Exception as error:  # reported with the next ``say``
            self._fault = EngineUnavailable(sentences.voice_not_loaded(error))
        self._loaded.set()

    def _render_ahead(self, text: str) -> None:
        if self._renderer is None:
            return
        for _ in self._renderer.sentences(text, self.rate, self.timbre):
            if self._closed.is_set():
                return
