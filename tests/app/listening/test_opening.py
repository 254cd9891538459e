"""An ear that opens while the session has already begun."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from callout.app.listening.background_ear import OpeningEar, microphone_ear, played_ear
from callout.core.model.candidates import CandidateSet
from callout.errors import AudioInvalid, DeviceNotFound, EngineUnavailable
from callout.ports.listening import ListeningSink

DOORS = CandidateSet("doors", ())


class Ear:
    """Notes what it is told."""

    name = "ear"

    def __init__(self) -> None:
        self.told: list[Any] = []
        self.started = threading.Event()
        self.closed = threading.Event()

    def start(self, sink: ListeningSink) -> None:
        self.told.append("start")

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        self.told.append((candidates.item_id, attempt))
        self.started.set()

    def stop_listening(self) -> None:
        self.told.append("stop")

    def tool_speaks(self, now: bool) -> None:
        if now:
            self.told.append("tool speaks")

    def taken(self) -> None:
        self.told.append("taken")

    def close(self) -> None:
        self.closed.set()


class Sink:
    """Keeps the failures reported."""

    def __init__(self) -> None:
        self.failed = threading.Event()
        self.failures: list[tuple[str, str]] = []

    def on_heard(self, *told: Any) -> None:
        raise AssertionError("nothing was said")

    def on_speech(self) -> None:
        raise AssertionError("nothing was said")

    def on_disturbed(self, notice: Any) -> None:
        raise AssertionError("nothing was said")

    def on_failure(self, message: str, hint: str = "") -> None:
        self.failures.append((message, hint))
        self.failed.set()

    def on_recovery(self) -> None:
        raise AssertionError("nothing was lost")


def test_what_is_asked_while_it_opens_is_listened_for_afterwards() -> None:
    may_open, ear = threading.Event(), Ear()

    def open_ear(sink: ListeningSink) -> Ear:
        may_open.wait(10)
        return ear

    opening = OpeningEar("microphone", open_ear)
    opening.start(Sink())
    opening.listen(CandidateSet("beacon", ()))
    opening.stop_listening()
    opening.listen(DOORS, 2)
    may_open.set()
    assert ear.started.wait(10)
    opening.stop_listening()
    opening.taken()
    assert ear.told == ["start", ("doors", 2), "stop", "taken"]
    opening.close()
    assert ear.closed.is_set()


def test_an_ear_that_opens_after_the_end_is_closed_again() -> None:
    may_open, ear = threading.Event(), Ear()

    def open_ear(sink: ListeningSink) -> Ear:
        may_open.wait(10)
        return ear

    opening = OpeningEar("microphone", open_ear)
    opening.start(Sink())
    opening.close()
    may_open.set()
    assert ear.closed.wait(10)
    assert ear.told == []


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (DeviceNotFound("There is no microphone.", "Plug one in."), ("There is no", "Plug one in")),
        (EngineUnavailable("No library.", "pip install it"), ("No library", "pip install it")),
        (RuntimeError("driver"), ("Listening cannot start (driver).", "callout doctor")),
    ],
)
def test_trouble_is_reported_with_its_remedy_and_nothing_is_raised(
    error: Exception, told: tuple[str, str]
) -> None:
    def open_ear(sink: ListeningSink) -> Ear:
        raise error

    sink = Sink()
    opening = OpeningEar("microphone", open_ear)
    opening.listen(DOORS)
    opening.start(sink)
    assert sink.failed.wait(10)
    [(message, hint)] = sink.failures
    assert message.startswith(told[0])
    assert hint.startswith(told[1])
    opening.listen(DOORS)
    opening.taken()
    opening.close()


def test_without_portaudio_the_install_command_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from callout import portaudio

    def broken() -> None:
        raise EngineUnavailable("PortAudio cannot be used.", "apt-get install libportaudio2")

    monkeypatch.setattr(portaudio, "load_library", broken)
    sink, ear = Sink(), microphone_ear("", "embedded")
    ear.start(sink)
    assert sink.failed.wait(30)
    assert sink.failures == [("PortAudio cannot be used.", "apt-get install libportaudio2")]
    ear.close()


def test_missing_recordings_are_told_before_the_session_begins(tmp_path: Path) -> None:
    with pytest.raises(AudioInvalid):
        played_ear([tmp_path / "gone.wav"], "embedded")


def test_the_program_ends_cleanly_while_the_ear_still_opens(tmp_path: Path) -> None:
    """A thread that loads a library while the interpreter goes away would abort the process."""
    source = """
import threading, sys
from callout.app.listening.background_ear import OpeningEar
begun = threading.Event()
def open_ear(sink):
    begun.set()
    from callout.hearing.embedded.recogniser import EmbeddedRecogniser
    EmbeddedRecogniser()
    print("opened", flush=True)
    raise RuntimeError("not needed any more")
class Sink:
    def on_failure(self, message, hint=""): pass
ear = OpeningEar("microphone", open_ear)
ear.start(Sink())
begun.wait()
ear.close()
"""
    done = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (0, "opened\n", "")


def test_one_closed_while_it_waits_for_the_voice_never_opens() -> None:
    opened: list[ListeningSink] = []

    def open_ear(sink: ListeningSink) -> Ear:
        opened.append(sink)
        return Ear()

    late = OpeningEar("late", open_ear, after_s=60)
    before = set(threading.enumerate())
    late.start(Sink())
    late.close()
    for thread in set(threading.enumerate()) - before:
        thread.join(5)
    assert opened == []
