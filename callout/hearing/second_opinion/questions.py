"""A question to those that are asked in doubt; threads of their own load them and work on it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import NamedTuple

from callout.errors import ModelNotFound
from callout.hearing.chain.reading import ChainReader, ChainReading
from callout.hearing.second_opinion.text_scorer import TextReading, TextScorer, Unwanted
from callout.ports.hearing import Samples

MOST_ASKED = 10
"""Number of the first recogniser's leading phrases that the second is asked about."""
LONGEST_WAIT_S = 10.0
"""An answer that takes longer is not waited for."""


class Asked(NamedTuple):
    """Those that are asked in doubt."""

    second: TextScorer
    third: ChainReader | None


class Answers(NamedTuple):
    """What they say of one utterance."""

    text: TextReading
    heard: ChainReading | None


def installed() -> Asked:
    """Return both; raises EngineUnavailable if the second is not installed."""
    second = TextScorer.installed()
    try:
        return Asked(second, ChainReader.shipped())
    except ModelNotFound:  # a damaged installation: the second answers alone
        return Asked(second, None)


class Question:
    """A question to the second about one utterance; a thread of its own works on it."""

    def __init__(
        self,
        others: Loading,
        samples: Samples,
        ranked: Sequence[str],
        forms: dict[str, tuple[str, ...]],
    ) -> None:
        self.length = len(samples)
        self._answer: Answers | None = None
        self._dropped = False
        self._work = others, samples, ranked, forms
        self._thread = threading.Thread(target=self._run, name="second opinion", daemon=True)
        self._thread.start()

    def answer(self) -> Answers | None:
        """Return the answer as soon as it is there; None if there will be none."""
        self._thread.join(LONGEST_WAIT_S)
        return self._answer

    def drop(self) -> None:
        """Work on it no further."""
        self._dropped = True

    def _run(self) -> None:
        others, samples, ranked, forms = self._work
        try:
            asked = others.wait()
            if asked is None:
                return
            heard = asked.third.read(samples, forms) if asked.third else None
            likely = {text: forms[text] for text in ranked[:MOST_ASKED]}
            text = asked.second.read(samples, likely, lambda: not self._dropped)
            self._answer = Answers(text, heard)
        except Unwanted:
            return
        except Exception:  # whatever fails in them, the first one's answer is used
            others.drop()


class Loading:
    """The others being loaded by a thread of its own."""

    def __init__(self, load: Callable[[], Asked]) -> None:
        self._load = load
        self._scorer: Asked | None = None
        self._thread: threading.Thread | None = None
        self._dropped = False

    def start(self) -> None:
        """Start to load, unless that has already begun."""
        if self._thread is None and not self._dropped:
            self._thread = threading.Thread(target=self._run, name="second opinion", daemon=True)
            self._thread.start()

    def wait(self) -> Asked | None:
        """Return it as soon as it is there; None if there will be none."""
        if self._thread is not None:
            self._thread.join(LONGEST_WAIT_S)
        return None if self._dropped else self._scorer

    def drop(self) -> None:
        """Do without it from now on."""
        self._dropped, self._scorer = True, None

    def _run(self) -> None:
        try:
            self._scorer = self._load()
        except Exception:  # absent or damaged: ``callout doctor`` says so
            self._dropped = True
