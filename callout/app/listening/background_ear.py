"""An ear that opens in the background, so that the first challenge need not wait for it."""

from __future__ import annotations

import atexit
import threading
from collections.abc import Callable, Sequence
from pathlib import Path

from callout.app.listening.crew_voices import CrewVoices
from callout.app.shared.quick_start import VOICE_FIRST_S
from callout.core.model.candidates import CandidateSet
from callout.core.sentences import sound as sentences
from callout.errors import CalloutError
from callout.ports.listening import Listener, ListeningSink
from callout.ports.played_sound import PlayedSound

EarOpener = Callable[[ListeningSink], Listener]
"""Opens source and recogniser for a sink; raises CalloutError with the command that helps."""

LAST_WAIT_S = 20.0
"""Maximum time that the program's exit waits for an ear still being opened: if the interpreter
exits while a library is loading, the whole process crashes.
"""


class OpeningEar:
    """Passes everything on to the ear that ``open_ear`` returns, once it is open.

    Errors while opening are reported to the sink, and the session continues on the keyboard.
    """

    def __init__(self, name: str, open_ear: EarOpener, *, after_s: float = 0.0) -> None:
        """after_s: how long to wait before opening."""
        self.name = name
        self._after_s = after_s
        self._ended = threading.Event()
        self._open_ear = open_ear
        self._lock = threading.Lock()
        self._ear: Listener | None = None
        self._armed: tuple[CandidateSet, int] | None = None
        self._saying = False
        self._closed = False
        self._thread: threading.Thread | None = None

    def start(self, sink: ListeningSink) -> None:
        """Begin to open."""
        self._thread = threading.Thread(
            target=self._open, args=(sink,), name="opening ear", daemon=True
        )
        self._thread.start()

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Arm for an item, now or as soon as the ear is open."""
        with self._lock:
            self._armed = (candidates, attempt)
            if self._ear:
                self._ear.listen(candidates, attempt)

    def stop_listening(self) -> None:
        """Report nothing until armed again."""
        with self._lock:
            self._armed = None
            if self._ear:
                self._ear.stop_listening()

    def tool_speaks(self, now: bool) -> None:
        """Tell the ear, now or once open, whether the tool is speaking."""
        with self._lock:
            self._saying = now
            if self._ear:
                self._ear.tool_speaks(now)

    def taken(self) -> None:
        """Let a recording continue."""
        if self._ear:
            self._ear.taken()

    def close(self) -> None:
        """Close the ear; one still being opened closes itself before the program exits."""
        with self._lock:
            first, self._closed = not self._closed, True
            self._ended.set()
            ear, self._ear = self._ear, None
        if ear:
            ear.close()
        elif first and self._thread and self._thread.is_alive():
            atexit.register(self._thread.join, LAST_WAIT_S)

    def _open(self, sink: ListeningSink) -> None:
        if self._ended.wait(self._after_s):
            return
        try:
            ear = self._open_ear(sink)
        except CalloutError as error:
            sink.on_failure(error.message, error.hint)
            return
        except Exception as error:  # a library's unexpected error must not end the session
            sink.on_failure(sentences.listening_cannot_start(error), "callout doctor")
            return
        with self._lock:
            if not self._closed:
                self._ear = ear
                ear.start(sink)
                ear.tool_speaks(self._saying)
                if self._armed:
                    ear.listen(*self._armed)
                return
        ear.close()


NOBODY = CrewVoices()


def microphone_ear(
    device: str,
    engine: str,
    *,
    headset: bool = False,
    played: PlayedSound | None = None,
    crew: CrewVoices = NOBODY,
) -> Listener:
    """Return a listener to the microphone called ``device`` (empty: the platform's default).

    headset: a person may answer while the tool speaks. played: the same with a loudspeaker, as far
    as its sound can be removed from what is heard. crew: whose voices are known.
    """

    def open_ear(sink: ListeningSink) -> Listener:
        from callout.app.listening.engines import open_recogniser
        from callout.hearing.ear import Ear
        from callout.hearing.lasting import LastingMicrophone
        from callout.hearing.over_voice import OverVoice
        from callout.hearing.passage import Passage
        from callout.hearing.segmenter import Segmenter
        from callout.hearing.tool_voice import ToolVoice

        source = LastingMicrophone(
            device or None, on_lost=sink.on_failure, on_back=sink.on_recovery
        )
        try:
            # the session itself waits after its own voice, for as long as set
            own = ToolVoice(played) if played is not None and not headset else None
            over = OverVoice(cancelled=own is not None) if headset or own else None
            passage = Passage(over, own)
            recogniser = open_recogniser(engine, crew.voices)
            return Ear(source, Segmenter(), recogniser, tail=0.0, passage=passage, seats=crew.seats)
        except BaseException:
            source.close()
            raise

    return OpeningEar("microphone", open_ear, after_s=VOICE_FIRST_S)


def played_ear(places: Sequence[Path], engine: str, *, crew: CrewVoices = NOBODY) -> Listener:
    """Return a listener to recordings and folders of them; raises AudioInvalid for none."""
    from callout.hearing.played import recordings_in

    recordings = iter(recordings_in(places))

    def open_ear(sink: ListeningSink) -> Listener:
        from callout.app.listening.engines import open_recogniser
        from callout.hearing.ear import Ear
        from callout.hearing.played import PlayedSource
        from callout.hearing.segmenter import Segmenter

        source = PlayedSource(lambda: next(recordings, None))
        recogniser = open_recogniser(engine, crew.voices)
        return Ear(source, Segmenter(), recogniser, live=False, seats=crew.seats)

    return OpeningEar("recordings", open_ear)
