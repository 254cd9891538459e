"""The demonstration: an invented flight, with recordings in place of the microphone."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from callout.app.listening.background_ear import OpeningEar
from callout.app.running.list_session import run_session
from callout.app.running.wishes import Wishes
from callout.app.shared.checklist_files import load_checklist, load_flight
from callout.app.shared.settings import Settings
from callout.app.shared.shipped import CHECKLISTS, RECORDINGS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.summary import Summary
from callout.core.conversation.pacing import Pacing
from callout.core.model.candidates import CandidateSet
from callout.core.model.state_quantity import StateQuantity
from callout.core.planning.plan import Plan
from callout.core.planning.run_plan import plan_for
from callout.core.sentences import session as sentences
from callout.errors import CalloutError
from callout.journal.demonstrations import DEMONSTRATION, DEMONSTRATIONS, MADE
from callout.ports.keys import KeySink
from callout.ports.listening import Listener, ListeningSink

if TYPE_CHECKING:
    from callout.hearing.played import Recording

TRIES = 3
"""How often the last recording of an item is played in all if it is not understood."""
SPEED = 3.0
"""Recordings are silent, so they are played faster than spoken; that leaves time to read."""

BRISK = 220
"""Minimum words per minute of the voice, so that the spoken demonstration takes less than a
minute.
"""


class Script:
    """Which recording answers each question; the last one of an item may be repeated."""

    def __init__(self, replies: Mapping[str, list[Recording]]) -> None:
        self._replies = replies
        self._played: dict[str, int] = {}
        self._asked = ""

    def cue(self, item_id: str) -> None:
        """Note what is being asked."""
        self._asked = item_id

    def all_of(self, item_id: str) -> list[Recording]:
        """Return every recording for one item."""
        return list(self._replies.get(item_id, ()))

    def next(self) -> Recording | None:
        """Return the next recording for it; None ends the recordings.

        Raises CalloutError if none is left.
        """
        there = self._replies.get(self._asked, [])
        count = self._played.get(self._asked, 0)
        if not there or count >= len(there) - 1 + TRIES:
            said = sentences.no_recorded_reply(self._asked)
            raise CalloutError(said, sentences.REPLY_YOURSELF)
        self._played[self._asked] = count + 1
        return there[min(count, len(there) - 1)]


@dataclass(frozen=True, slots=True)
class CuedEar:
    """An ear that tells the script what it is armed for."""

    script: Script
    ear: Listener
    name: str = "recordings"

    def start(self, sink: ListeningSink) -> None:
        """Open the ear."""
        self.ear.start(sink)

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Cue the script, then arm the ear."""
        self.script.cue(candidates.item_id)
        self.ear.listen(candidates, attempt)

    def stop_listening(self) -> None:
        """Report nothing until armed again."""
        self.ear.stop_listening()

    def tool_speaks(self, now: bool) -> None:
        """Tell the ear whether the tool is speaking."""
        self.ear.tool_speaks(now)

    def taken(self) -> None:
        """Let the recording continue."""
        self.ear.taken()

    def close(self) -> None:
        """Close the ear."""
        self.ear.close()


class NoKeys:
    """No keyboard: the session ends with the recordings."""

    def start(self, sink: KeySink) -> None:
        """Report at once that nothing will be typed."""
        sink.on_input_ended()

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Nobody types."""

    def taken(self) -> None:
        """Nothing was typed."""

    def close(self) -> None:
        """Nothing to restore."""


@dataclass(frozen=True, slots=True)
class Demo:
    """What the demonstration shows."""

    plan: Plan
    source: Path
    script: Script
    about: str = ""
    """Which flight and aircraft it is."""
    declared: Mapping[str, StateQuantity] = field(default_factory=dict)
    """What the aircraft can report about its state."""


def load_demo() -> Demo:
    """Return the shipped demonstration; raises CalloutError if the installation lacks it."""
    text = (files("callout") / "data" / "demo.yaml").read_text(encoding="utf-8")
    told: dict[str, Any] = yaml.safe_load(text)
    lists = shipped_folder(CHECKLISTS)
    source = lists / told["list"]
    flight = load_flight(lists / told["flight"])
    plan = plan_for(load_checklist(source), flight, default_tables())
    about = f"{flight.title}. {flight.aircraft}."
    script = Script(_demo_replies(told["replies"]))
    return Demo(plan, source, script, about, flight.state)


def run_demo(
    demo: Demo,
    folder: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    fast: bool,
    tell: Callable[[str], None],
    safety: str,
) -> Summary:
    """Run the demonstration like a live session, with a journal of its own below ``folder``.

    fast: no pacing. tell: takes one line for each recording that is played.
    """

    def on_play(recording: Recording) -> None:
        tell(f"[recording] {recording.words}")

    listener = CuedEar(demo.script, recording_ear(demo.script, wishes.engine, fast, on_play))
    calm = Pacing(silence_s=0, slow_s=1e9)  # a busy machine would make recordings slow
    pacing = replace(calm, glance_s=0, tail_s=0) if fast else calm
    brisk = replace(settings.voice, rate=max(settings.voice.rate, BRISK))
    pacing = replace(pacing, tones=settings.pacing.tones)
    settled = replace(settings, pacing=pacing, voice=brisk)
    chosen = replace(wishes, listener=listener, keys=NoKeys())
    about = {"file": str(demo.source), MADE: DEMONSTRATION}
    place = folder / DEMONSTRATIONS
    return run_session(demo.plan, place, settled, chosen, safety=safety, about=about)


def recording_ear(
    script: Script, engine: str, fast: bool, on_play: Callable[[Recording], None]
) -> OpeningEar:
    """Return an ear that hears the next recording of ``script``. fast: at full speed."""

    def open_ear(sink: ListeningSink) -> Listener:
        from callout.app.listening.engines import open_recogniser
        from callout.hearing.ear import Ear
        from callout.hearing.played import PlayedSource
        from callout.hearing.segmenter import Segmenter

        source = PlayedSource(script.next, speed=0.0 if fast else SPEED, on_play=on_play)
        return Ear(source, Segmenter(), open_recogniser(engine), live=False)

    return OpeningEar("recordings", open_ear)


def _demo_replies(told: Mapping[str, list[str]]) -> dict[str, list[Recording]]:
    return {
        item: recordings_named([f"demo/{name}" for name in names]) for item, names in told.items()
    }


def recordings_named(names: Sequence[str]) -> list[Recording]:
    """Return shipped recordings by name without the ending."""
    from callout.hearing.played import Recording

    folder = shipped_folder(RECORDINGS)
    said = _reply_manifest(folder)
    return [Recording(folder / f"{name}.wav", said[f"{name}.wav"]) for name in names]


def _reply_manifest(folder: Path) -> dict[str, str]:
    """Return what to print for each file: its words, and its condition if that matters."""
    with (folder / "manifest.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    plain = ("clean", "human")
    return {
        row["file"]: f'"{row["words"]}"'
        + ("" if row["condition"] in plain else f" ({row['condition']})")
        for row in rows
    }
