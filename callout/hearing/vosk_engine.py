"""The Vosk recogniser, with the current item's phrases as its grammar."""

from __future__ import annotations

import contextlib
import logging
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from callout.core.model.candidates import CandidateSet
from callout.core.model.heard import Heard
from callout.hearing import vosk_decision, vosk_grammar
from callout.hearing.vosk_decision import VoskDecision, VoskWord
from callout.hearing.vosk_files import checked_folder, takes_grammar
from callout.hearing.vosk_native import load_model, new_recogniser
from callout.ports.hearing import SAMPLE_RATE, Samples

_LOG = logging.getLogger(__name__)
_PAD_SECONDS = 0.3
_PAD = bytes(2 * int(_PAD_SECONDS * SAMPLE_RATE))
"""Silence around each utterance: without it the first or last word is dropped."""


class _Pass:
    """One native recogniser and its words for the current utterance.

    The library raises a bare Exception on audio it can't process; such an utterance has no words.
    """

    def __init__(self, native: Any) -> None:
        self._native = native
        self._words: list[VoskWord] = []
        self._failed = False

    def feed(self, data: bytes) -> None:
        with self._failures_noted():
            if self._native.AcceptWaveform(data):
                self._words += vosk_decision.words_of(self._native.Result())

    def finish(self) -> tuple[VoskWord, ...]:
        """Return all words since the last call; the next utterance starts afresh."""
        with self._failures_noted():
            self._words += vosk_decision.words_of(self._native.FinalResult())
        words = () if self._failed else tuple(self._words)
        self._words, self._failed = [], False
        return words

    @contextlib.contextmanager
    def _failures_noted(self) -> Iterator[None]:
        try:
            yield
        except Exception:
            _LOG.warning("Vosk could not process this utterance", exc_info=True)
            self._failed = True


class VoskRecogniser:
    """Streams each utterance through a closed and a free pass over one model.

    folder: a Vosk model folder; ModelNotFound if it is not one, EngineUnavailable without the
    library. Not for use by several threads at once.
    """

    name = "vosk"

    def __init__(self, folder: str | Path) -> None:
        path = checked_folder(folder)
        self._model: Any = load_model(path)
        self._takes_grammar = takes_grammar(path)
        self._free: _Pass | None = _Pass(new_recogniser(self._model))
        self._closed: _Pass | None = None
        self._grammar = vosk_grammar.Grammar()
        self._fed = 0

    def listen_for(self, candidates: CandidateSet) -> None:
        """Arm for an item; the current utterance is discarded."""
        self.reset()
        if self._model is None:
            return
        self._grammar = vosk_grammar.build_grammar(candidates, self._knows)
        entries = self._grammar.entries()
        usable = bool(entries) and self._takes_grammar
        self._closed = _Pass(new_recogniser(self._model, entries)) if usable else None
        if self._grammar.left_out:
            _LOG.info("not in the vocabulary of the model: %s", sorted(self._grammar.left_out))

    def accept(self, samples: Samples) -> None:
        """Take the next samples (int16, 16 kHz, mono, any length)."""
        if samples.size == 0 or self._free is None:
            return
        if not self._fed:
            self._feed(_PAD)
        self._fed += samples.size
        self._feed(np.ascontiguousarray(samples, dtype=np.int16).tobytes())

    def guess(self) -> Heard:
        """Return an unsure ``Heard``: results are final only once the utterance is over."""
        return Heard(text="", engine=self.name)

    def decide(self) -> Heard:
        """Return what was heard since the last ``decide`` or ``reset``, and reset."""
        started = time.perf_counter()
        fed = self._fed
        free, closed = self._finish()
        if self._takes_grammar:
            decision = vosk_decision.decide_passes(closed, free, self._grammar)
        else:
            decision = vosk_decision.decide_free(free, self._grammar)
        return self._report(decision, closed or free, free, fed, started)

    def reset(self) -> None:
        """Discard the samples of the current utterance."""
        # The native Reset() keeps frames of the old audio as context; finishing does not.
        self._finish()

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that are not in the model's vocabulary, in the order given."""
        if self._model is None:
            return ()
        return tuple(word for word in words if not vosk_grammar.sayable_words(word, self._knows))

    def close(self) -> None:
        """Free the model; safe to call twice."""
        self._finish()
        self._free = self._closed = self._model = None

    def _knows(self, word: str) -> bool:
        return bool(self._model.vosk_model_find_word(word) >= 0)

    def _passes(self) -> tuple[_Pass, ...]:
        return tuple(one for one in (self._free, self._closed) if one is not None)

    def _feed(self, data: bytes) -> None:
        for one in self._passes():
            one.feed(data)

    def _finish(self) -> tuple[tuple[VoskWord, ...], tuple[VoskWord, ...]]:
        if self._fed:
            self._feed(_PAD)
            self._fed = 0
        free = self._free.finish() if self._free else ()
        closed = self._closed.finish() if self._closed else ()
        return free, closed

    def _report(
        self,
        decision: VoskDecision,
        words: tuple[VoskWord, ...],
        free: tuple[VoskWord, ...],
        fed: int,
        started: float,
    ) -> Heard:
        length = fed / SAMPLE_RATE
        times = [(word.start - _PAD_SECONDS, word.end - _PAD_SECONDS) for word in words]
        return Heard(
            text=decision.text,
            transcript=vosk_decision.text_of(free),
            confidence=round(decision.confidence, 4),
            sure=decision.sure,
            alternatives=decision.alternatives,
            start=max(0.0, times[0][0]) if times else 0.0,
            end=min(length, times[-1][1]) if times else length,
            compute_ms=(time.perf_counter() - started) * 1000,
            engine=self.name,
        )
