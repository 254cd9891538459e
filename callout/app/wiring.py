"""Chooses the adapters of a session and puts it together; nothing else does."""

from __future__ import annotations

import os
import secrets
import signal
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import Enum
from pathlib import Path
from types import FrameType
from typing import TypeVar

from callout import __version__
from callout.app.beside import NotShared, Sharing, beside, keys_beside
from callout.app.command_tables import default_commands
from callout.app.crew_voices import crew_voices
from callout.app.glancing import GlanceWish
from callout.app.runner import LIST, Deaf, Parts, Runner
from callout.app.settings import Settings
from callout.app.speech import Speech
from callout.app.tables import default_tables
from callout.app.tones import NoTones, Tones
from callout.core import events as ev
from callout.core.candidate_sets import candidates_for
from callout.core.commands import CommandTable
from callout.core.journal_records import Began
from callout.core.pacing import Challenger, FlowMode
from callout.core.plan import Plan
from callout.core.replay import replay
from callout.core.set_up import statement_phrases
from callout.core.setting import Setting
from callout.core.state import Context, State
from callout.core.summary import Summary
from callout.core.withholding import Reveal
from callout.ports.journal import Journal
from callout.ports.keys import Keys
from callout.ports.listening import Listener
from callout.ports.view import View
from callout.quiet import native_errors_hidden
from callout.terminal.sane import make_sane

S = TypeVar("S")


class HearingKind(Enum):
    """What replies come from, besides the keyboard."""

    AUTO = "auto"
    """The microphone, unless replies come from a pipe."""
    MICROPHONE = "microphone"
    KEYBOARD = "keyboard"


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked for on the command line."""

    hearing: HearingKind = HearingKind.AUTO
    voice: bool | None = None
    """None: as set, but silent when replies come from a pipe."""
    plain: bool = False
    microphone: str = ""
    """Name of the device; empty: as set, else the platform's default."""
    engine: str = "auto"
    flow: FlowMode | None = None
    """None: as set."""
    reveal: Reveal | None = None
    """When the right reply is told; None: as set."""
    crew_challenges: bool = False
    """Two people: one challenges, the other responds."""
    replies: tuple[Path, ...] = ()
    """Recordings, or folders of them, in the place of the microphone."""
    listener: Listener | None = None
    """Hears instead of all these."""
    keys: Keys | None = None
    """Replies instead of the keyboard."""
    view: View | None = None
    """Shows instead of the terminal."""
    glance: GlanceWish | None = None
    """Show it on a page too."""
    shared: Sharing | NotShared | None = None
    """The page, once it is there, or why it is not."""


class SystemClock:
    """The machine's own clocks."""

    def now(self) -> float:
        """Return seconds since some moment; never goes backwards."""
        return time.monotonic()

    def utc(self) -> datetime:
        """Return the wall-clock time."""
        return datetime.now(UTC)


def run_session(
    plan: Plan,
    folder: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    safety: str,
    setting: Setting | None = None,
    about: Mapping[str, str] | None = None,
) -> Summary:
    """Run ``plan`` from its beginning, with a journal of its own in ``folder``.

    setting: what the plan was worked out from, so that the set-up can change. about: the files
    it comes from, for a resume.
    """
    from callout.journal.jsonl_writer import create_journal

    clock = SystemClock()
    mark = secrets.token_hex(3)
    wishes = with_ears(wishes, settings)
    journal = create_journal(folder, plan.list_id, clock.utc(), mark)
    context, parts = put_together(journal, settings, wishes)
    state = State(with_setting(context, setting))
    facts = {**(about or {}), **about_this(parts, settings)}
    session_id = Path(journal.where).stem
    with interruptible(Runner(state, parts, LIST, safety=safety)) as runner:
        summary: Summary = runner.run(lambda stamp: ev.Started(stamp, session_id, plan, facts))
        return summary


def about_this(parts: Parts, settings: Settings) -> dict[str, str]:
    """Return what runs a session, for its journal."""
    return {
        "version": __version__,
        "hearing": parts.listener.name or "keyboard",
        "platform": sys.platform,
        **({"crew": settings.crew_name} if settings.crew_name else {}),
    }


def with_setting(context: Context, setting: Setting | None) -> Context:
    """Return what a list works with, the words that change its set-up included."""
    if setting is None:
        return context
    phrases = statement_phrases(setting.flight, setting.facts())
    return replace(context, setting=setting, extra_phrases=phrases)


def resume_session(
    path: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    safety: str,
    setting_of: Callable[[Mapping[str, str], Plan], Setting | None] = lambda about, plan: None,
) -> Summary:
    """Go on with the session whose journal is at ``path``.

    setting_of: works out from what the journal says of its files what the set-up can change.
    """
    from callout.journal.jsonl_writer import reopen_journal
    from callout.journal.misfits import making_sense

    wishes = with_ears(wishes, settings)
    journal, found = reopen_journal(path)
    try:
        with making_sense(path):
            progress = replay(found.records)
        context, parts = put_together(journal, settings, wishes)
        began = found.records[0] if found.records else None
        known = setting_of(began.about, progress.plan) if isinstance(began, Began) else None
    except BaseException:
        journal.close()
        raise
    state = State(with_setting(context, known), progress)
    runner = Runner(state, parts, LIST, safety=safety, offset=progress.at)
    with interruptible(runner):
        summary: Summary = runner.run(lambda stamp: ev.Resumed(stamp, found.torn))
        return summary


def with_wishes(settings: Settings, wishes: Wishes) -> Settings:
    """Return the settings with what the command line asks for instead."""
    pacing = replace(
        settings.pacing,
        flow=wishes.flow or settings.pacing.flow,
        reveal=wishes.reveal or settings.pacing.reveal,
    )
    if wishes.crew_challenges:
        pacing = replace(pacing, challenger=Challenger.PERSON)
    return replace(settings, pacing=pacing)


def put_together(journal: Journal, settings: Settings, wishes: Wishes) -> tuple[Context, Parts]:
    """Return what every list works with, and the adapters."""
    make_sane(sys.stdin, sys.stdout)
    settings = with_wishes(settings, wishes)
    commands = default_commands()
    piped = not _is_terminal(sys.stdin)
    plain = wishes.plain or settings.plain or not _can_draw()
    listener = wishes.listener or Deaf()
    # the time to type a scripted line says nothing about a glance
    pacing = replace(settings.pacing, glance_s=0.0) if piped else settings.pacing
    context = Context(
        commands=commands,
        tables=default_tables(),
        pacing=pacing,
        find_candidates=candidates_for,
        hears=bool(listener.name),
        hearing=listener.name,
    )
    parts = Parts(
        journal=journal,
        view=beside(wishes.view or _view(plain, settings), wishes.shared),
        keys=keys_beside(wishes.keys or _keys(plain or piped, piped, commands), wishes.shared),
        speech=_speech(settings, wishes.voice if wishes.voice is not None else not piped),
        clock=SystemClock(),
        listener=listener,
        tones=_tones(settings),
    )
    return context, parts


def _view(plain: bool, settings: Settings) -> View:
    if plain:
        from callout.terminal.plain import PlainView

        return PlainView(sys.stdout)
    from callout.terminal.view import RichView

    return RichView(settings.colours)


def _keys(lines: bool, piped: bool, commands: CommandTable) -> Keys:
    single = [key for entry in commands.entries for key in entry.keys]
    if lines:
        from callout.terminal.lines import LineKeys

        return LineKeys(sys.stdin, single, one_by_one=piped)
    from callout.terminal.keys import TerminalKeys

    return TerminalKeys(single)


def _speech(settings: Settings, wanted: bool) -> Speech:
    from callout.speaking.silent import SilentSpeaker

    voice = settings.voice
    if not wanted or not voice.speak:
        return Speech(SilentSpeaker(), audible=False)
    from callout.speaking.voice import ChildVoice

    speaker = ChildVoice(rate=voice.rate, volume=voice.volume, voice=voice.name or None)

    def set_rate(pace: float) -> None:
        speaker.rate = round(voice.rate * pace)

    return Speech(speaker, set_rate=set_rate)


def _tones(settings: Settings) -> Tones:
    if not settings.pacing.tones:
        return NoTones()
    from callout.speaking.tone_player import TonePlayer

    return TonePlayer(volume=settings.voice.volume)


def with_ears(wishes: Wishes, settings: Settings) -> Wishes:
    """Choose what listens before a journal is begun, so that a wrong name leaves none behind."""
    return replace(wishes, listener=wishes.listener or _listener(wishes, settings))


def _listener(wishes: Wishes, settings: Settings) -> Listener:
    from callout.app.opening import microphone_ear, played_ear

    if wishes.replies:
        return played_ear(wishes.replies, wishes.engine, crew=crew_voices(settings))
    piped = not _is_terminal(sys.stdin)
    if wishes.hearing is HearingKind.KEYBOARD or (wishes.hearing is HearingKind.AUTO and piped):
        return Deaf()
    device = wishes.microphone or settings.microphone
    headset, crew = settings.pacing.barge_in, crew_voices(settings)
    return microphone_ear(device, wishes.engine, headset=headset, crew=crew)


def _is_terminal(stream: object) -> bool:
    try:
        return bool(getattr(stream, "isatty", lambda: False)())
    except ValueError:
        return False


def _can_draw() -> bool:
    return (
        _is_terminal(sys.stdout)
        and _is_terminal(sys.stdin)
        and os.environ.get("TERM", "") not in ("dumb", "unknown")
    )


@contextmanager
def interruptible(runner: Runner[S]) -> Iterator[Runner[S]]:
    """Turn Ctrl-C and requests to terminate into an orderly, resumable end.

    What C libraries print meanwhile stays off the screen.
    """
    names = ("SIGINT", "SIGTERM", "SIGHUP")
    signals: Sequence[signal.Signals] = [
        getattr(signal, name) for name in names if hasattr(signal, name)
    ]

    def end(number: int, frame: FrameType | None) -> None:
        runner.on_interrupt("keyboard" if number == signal.SIGINT else "terminated")

    before = {number: signal.signal(number, end) for number in signals}
    if hasattr(signal, "SIGWINCH"):
        before[signal.SIGWINCH] = signal.signal(signal.SIGWINCH, lambda *_: runner.on_resize())
    try:
        with native_errors_hidden():
            yield runner
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
