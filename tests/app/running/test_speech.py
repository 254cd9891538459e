"""Speech: the newest sentence is the one that is heard."""

from __future__ import annotations

import threading

from callout.app.running.speech import Speech


class SlowSpeaker:
    """Each sentence lasts until it is cut or let end; says whether it was cut."""

    name = "slow"

    def __init__(self) -> None:
        self.heard: list[tuple[str, bool]] = []
        self.begun = threading.Semaphore(0)
        self.end = threading.Event()
        self._cut = threading.Event()
        self._saying = threading.Event()

    def say(self, text: str) -> bool:
        self._cut.clear()
        self._saying.set()
        self.begun.release()
        while not self._cut.is_set() and not self.end.wait(0.001):
            pass
        self._saying.clear()
        self.heard.append((text, self._cut.is_set()))
        return not self._cut.is_set()

    def stop(self) -> None:
        if self._saying.is_set():
            self._cut.set()

    def close(self) -> None:
        self.end.set()


class Sink:
    """Counts what was said."""

    def __init__(self) -> None:
        self.over = threading.Semaphore(0)

    def on_spoken(self, token: int, spoken: bool) -> None:
        self.over.release()

    def on_voice_failure(self, message: str, hint: str) -> None:
        raise AssertionError(message)


def test_a_new_sentence_cuts_the_old_one_and_never_itself() -> None:
    speaker, sink = SlowSpeaker(), Sink()
    speech = Speech(speaker)
    speech.start(sink)
    last = 300
    speech.say("sentence 0", 0, 1.0)
    assert speaker.begun.acquire(timeout=60)
    for token in range(1, last + 1):
        speech.say(f"sentence {token}", token, 1.0)
        assert speaker.begun.acquire(timeout=60), "the new sentence never began"
    speaker.end.set()
    for _ in range(last + 1):
        assert sink.over.acquire(timeout=60)
    speech.close()
    assert speaker.heard == [(f"sentence {n}", n < last) for n in range(last + 1)]
