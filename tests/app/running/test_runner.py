"""The runner: what is kept before what is shown, and who may fail."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from callout.app.running.machines import LIST
from callout.app.running.runner import Runner
from callout.app.running.session_parts import Deaf, Parts
from callout.app.running.speech import Speech
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Context, SessionState
from callout.core.checklist_run.summary import Summary
from callout.core.conversation import events as ev
from callout.core.conversation import records as c
from callout.core.conversation.pacing import Pacing
from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict
from callout.ports.hearing import Samples
from callout.ports.journal import JournalUnwritable
from callout.ports.keys import KeySink
from callout.ports.listening import Listener
from callout.speaking.silent import SilentSpeaker
from tests.app.session_fakes import (
    Log,
    MemoryJournal,
    NotingView,
    ScriptedKeys,
    ScriptedListener,
    StepClock,
)
from tests.core.session_kit import offered, plan

RIGHT = ["on", "on", "one zero one three", "closed and locked"]


class Bench:
    """A runner with adapters that note everything."""

    def __init__(self, keys: list, heard: list | None = None) -> None:  # type: ignore[type-arg]
        self.log = Log()
        self.journal = MemoryJournal(self.log)
        self.listener: Listener = Deaf()
        if heard is not None:
            self.listener = ScriptedListener(self.log, heard)
        self.parts = Parts(
            journal=self.journal,
            view=NotingView(self.log),
            keys=ScriptedKeys(self.log, keys),
            speech=Speech(SilentSpeaker(), audible=False),
            clock=StepClock(),
            listener=self.listener,
        )
        context = Context(
            default_commands(),
            default_tables(),
            Pacing(silence_s=0),
            offered,
            heard is not None,
            self.listener.name,
        )
        self.context = context
        self.build()

    def build(self) -> None:
        """Make the runner, of the parts as they are now."""
        state = SessionState(self.context)
        self.runner = Runner(state, self.parts, LIST, safety="Training only.")

    def run(self) -> Summary:
        return self.runner.run(lambda stamp: ev.Started(stamp, "s", plan()))


def test_typed_replies_complete_a_list() -> None:
    bench = Bench(RIGHT)
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    assert bench.log.of("safety") == ["Training only."]
    assert bench.log.of("finished") == [(summary, "memory", "Training only.")]
    assert sorted(bench.log.of("closed")) == ["journal", "keys", "view"]
    assert replay_list(bench.journal.records) == bench.runner.state.progress


def test_everything_shown_was_kept_before() -> None:
    bench = Bench(["off", *RIGHT])
    bench.run()
    kept = 0
    for kind, what in bench.log.entries:
        if kind == "kept":
            kept += isinstance(what, r.Replied)
        if kind == "shown":
            told = [line for line in what[1] if line.startswith(("Right", "Mismatch"))]
            kept -= len(told)
            assert kept >= 0, "shown before it was kept"
    assert kept == 0


def test_voice_and_keyboard_reply_side_by_side() -> None:
    waits = [lambda sink: None] * 20
    bench = Bench(
        waits, ["on", "on", "one zero three one", "one zero one three", "closed and locked"]
    )
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    assert summary.mismatch_count == 1
    armed = bench.log.of("listen")
    assert ("altimeter", 1) in armed
    assert ("altimeter", 2) in armed


def test_when_the_ear_fails_the_keyboard_goes_on() -> None:
    bench = Bench(RIGHT[1:], ["on", None])
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    assert summary.failures == 1
    troubles = [view.troubles for view, _ in bench.log.of("shown")]
    told = [trouble.message for shown in troubles for trouble in shown]
    assert told
    assert all(message.startswith("The microphone is gone.") for message in told)


def test_a_full_disk_holds_the_session_where_it_is() -> None:
    bench = Bench([])

    def fill(sink: KeySink) -> None:
        bench.journal.full = True
        sink.on_line("beacon", "on")

    def free(sink: KeySink) -> None:
        bench.journal.full = False
        sink.on_line("beacon", "on")

    bench.parts.keys.script += [fill, "on", "on", free, *RIGHT[1:]]  # type: ignore[attr-defined]
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    assert len(bench.log.of("notice")) == 3
    beacons = [
        x for x in bench.journal.records if isinstance(x, r.Replied) and x.item_id == "beacon"
    ]
    assert len(beacons) == 1


def test_an_interrupt_on_a_full_disk_still_ends() -> None:
    bench = Bench([])

    def fill(sink: KeySink) -> None:
        bench.journal.full = True
        sink.on_interrupt()

    bench.parts.keys.script += ["on", fill]  # type: ignore[attr-defined]
    assert bench.run().ending is None


def test_no_first_record_no_session() -> None:
    bench = Bench(RIGHT)
    bench.journal.full = True
    with pytest.raises(JournalUnwritable):
        bench.run()
    assert bench.log.of("shown") == []
    assert "journal" in bench.log.of("closed")


def test_without_ear_and_keyboard_it_waits_for_a_resume() -> None:
    bench = Bench(["on"])
    summary = bench.run()
    assert summary.ending is None
    assert isinstance(bench.journal.records[-1], c.Suspended)
    progress = replay_list(bench.journal.records)
    again = Bench(RIGHT[1:])
    state = replace(again.runner.state, progress=progress)
    runner = Runner(state, again.parts, LIST, safety="", offset=progress.at)
    assert runner.run(ev.ResumeAsked).ending is Ending.COMPLETED
    assert runner.state.progress.at > progress.at


def test_what_is_typed_is_shown_but_not_kept() -> None:
    bench = Bench([lambda sink: (sink.on_typing("o"), sink.on_line("beacon", "on")), *RIGHT[1:]])
    bench.run()
    assert bench.log.of("typing") == ["o"]


class BrokenTones:
    """Tones that cannot sound."""

    failure = ""

    def __init__(self) -> None:
        self.asked: list[Verdict] = []

    def play(self, verdict: Verdict) -> None:
        self.asked.append(verdict)
        self.failure = "no sound device."

    def close(self) -> None:
        self.asked.append(Verdict.UNCLEAR)


def test_tones_follow_the_verdicts_and_their_loss_is_told_once() -> None:
    bench = Bench(["off", *RIGHT])
    tones = BrokenTones()
    bench.parts = replace(bench.parts, tones=tones)
    context = replace(bench.runner.state.context, pacing=Pacing(silence_s=0, tones=True))
    bench.runner = Runner(SessionState(context), bench.parts, LIST, safety="")
    bench.run()
    assert tones.asked[:2] == [Verdict.MISMATCH, Verdict.MATCH]
    assert tones.asked[-1] is Verdict.UNCLEAR  # closed
    failures = [record for record in bench.journal.records if isinstance(record, c.Failed)]
    assert [failure.message for failure in failures] == ["The tones have stopped: no sound device."]


def test_a_journal_that_was_removed_is_kept_and_shown() -> None:
    bench = Bench([*RIGHT[:1], lambda sink: _moved(bench, sink), *RIGHT[2:]])
    assert bench.run().ending is Ending.COMPLETED
    failures = [record for record in bench.journal.records if isinstance(record, c.Failed)]
    assert [(f.part, f.message) for f in failures] == [("journal", "It was removed.")]
    news = [line for _, lines in bench.log.of("shown") for line in lines]
    assert "It was removed." in news


def _moved(bench: Bench, sink: KeySink) -> None:
    bench.journal.moved = "It was removed."
    sink.on_line("pump", RIGHT[1])


class NotingSounds:
    """Notes which sounds it is to keep; gives up at once if told to."""

    said = "Sound is kept."

    def __init__(self, log: Log, failure: str = "") -> None:
        self.log, self.failure = log, failure

    def keep(self, journal: Path, seq: int, sound: Samples) -> str:
        self.log.add("sound", (str(journal), seq, len(sound)))
        said, self.failure = self.failure, ""
        return said


def test_the_sound_of_a_reply_is_kept_after_its_record_and_under_its_number() -> None:
    bench = Bench(RIGHT[2:], heard=["off", "on", "on"])
    bench.parts = replace(bench.parts, sounds=NotingSounds(bench.log))
    bench.build()
    bench.run()
    told = bench.log.of("sound")
    replied = [one for one in bench.journal.records if isinstance(one, r.Replied)]
    spoken = [one for one in replied if one.utterance.source is ReplySource.VOICE]
    assert told == [("memory.jsonl", one.seq, len(one.utterance.text)) for one in spoken]
    for number, (kind, what) in enumerate(bench.log.entries):
        if kind == "sound":
            before = [w.seq for k, w in bench.log.entries[:number] if k == "kept"]
            assert what[1] in before, "journal first"
    assert bench.log.of("safety") == ["Training only. Sound is kept."]


def test_a_sound_that_cannot_be_kept_is_told_and_journaled_once() -> None:
    bench = Bench(RIGHT[2:], heard=["on", "on"])
    bench.parts = replace(bench.parts, sounds=NotingSounds(bench.log, "No room for sound."))
    bench.build()
    summary = bench.run()
    assert summary.ending is Ending.COMPLETED
    failed = [one for one in bench.journal.records if isinstance(one, c.Failed)]
    assert [(one.part, one.message) for one in failed] == [("recording", "No room for sound.")]


def test_nobody_asked_so_no_sound_is_held() -> None:
    bench = Bench(RIGHT[2:], heard=["on", "on"])
    bench.run()
    assert bench.log.of("sound") == []
    assert not bench.runner._sounds
