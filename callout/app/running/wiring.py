"""Chooses the adapters of a session and assembles them."""

from __future__ import annotations

import os
import sys
import time
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from callout import __version__
from callout.app.listening.crew_voices import crew_voices
from callout.app.running.session_parts import Deaf, NoSounds, NoState, Parts
from callout.app.running.shared_view import combined_view, keys_beside
from callout.app.running.speech import Speech, nothing_ahead
from callout.app.running.tones import NoTones, Tones
from callout.app.running.wishes import HearingKind, Wishes, with_wishes
from callout.app.shared.command_tables import default_commands
from callout.app.shared.quick_start import VOICE_FIRST_S
from callout.app.shared.settings import Settings
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.state import Context
from callout.core.model.commands import CommandTable
from callout.core.planning.plan_inputs import Setting
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.fact_phrases import statement_phrases
from callout.journal.sound_files import SoundFiles
from callout.ports.journal import Journal
from callout.ports.keys import Keys
from callout.ports.listening import Listener
from callout.ports.view import View
from callout.terminal.sane import make_sane

if TYPE_CHECKING:
    from callout.speaking.embedded_voice import EmbeddedVoice
    from callout.speaking.played_log import PlayedLog
    from callout.speaking.voice import ChildVoice


class SystemClock:
    """The machine's own clocks."""

    def now(self) -> float:
        """Return monotonic seconds; never goes backwards."""
        return time.monotonic()

    def utc(self) -> datetime:
        """Return the wall-clock time."""
        return datetime.now(UTC)


def about_this(parts: Parts, settings: Settings) -> dict[str, str]:
    """Return what runs a session, for its journal."""
    return {
        "version": __version__,
        "hearing": parts.listener.name or "keyboard",
        "platform": sys.platform,
        **({"crew": settings.crew_name} if settings.crew_name else {}),
        **({"sound": "kept"} if parts.sounds.said else {}),
    }


def with_setting(context: Context, setting: Setting | None) -> Context:
    """Return the context of a list, including the words that change its set-up."""
    if setting is None:
        return context
    phrases = statement_phrases(setting.flight, setting.facts())
    return replace(context, setting=setting, extra_phrases=phrases)


def put_together(
    journal: Journal, settings: Settings, wishes: Wishes, *, opening: str = ""
) -> tuple[Context, Parts]:
    """Return the context shared by all lists, and the adapters.

    opening: the first sentence to be said, rendered while the other adapters load.
    """
    make_sane(sys.stdin, sys.stdout)
    settings = with_wishes(settings, wishes)
    commands = default_commands()
    piped = not (wishes.on_page or _is_terminal(sys.stdin))
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
        watches=wishes.state_source is not None,
        keeps_watch=wishes.watch,
    )
    speaker = _choose_speaker(settings, wishes, piped=piped)
    speech = _speech_of(speaker, settings)
    if opening:
        speech.prepare((opening,))
    parts = Parts(
        journal=journal,
        view=combined_view(wishes.view or _choose_view(plain, settings), wishes.shared),
        keys=keys_beside(
            wishes.keys or _choose_keys(plain or piped, piped, commands), wishes.shared
        ),
        speech=speech,
        clock=SystemClock(),
        listener=listener,
        tones=_choose_tones(settings, speaker),
        state=wishes.state_source or NoState(),
        sounds=SoundFiles() if settings.keep_sound and listener.name else NoSounds(),
    )
    return context, parts


def _choose_view(plain: bool, settings: Settings) -> View:
    if plain:
        from callout.terminal.plain import PlainView

        return PlainView(sys.stdout)
    from callout.terminal.view import RichView

    return RichView(settings.colours)


def _choose_keys(lines: bool, piped: bool, commands: CommandTable) -> Keys:
    single = [key for entry in commands.entries for key in entry.keys]
    if lines:
        from callout.terminal.lines import LineKeys

        return LineKeys(sys.stdin, single, one_by_one=piped)
    from callout.terminal.late_keys import LateKeys

    return LateKeys(single, after_s=VOICE_FIRST_S)


def _choose_speaker(
    settings: Settings, wishes: Wishes, *, piped: bool
) -> EmbeddedVoice | ChildVoice | None:
    """Return the voice; None if nothing is to be audible."""
    wanted = wishes.voice if wishes.voice is not None else not piped
    if not wanted or not settings.voice.speak:
        return None
    from callout.speaking.speakers import speaker_of

    voice = settings.voice
    return speaker_of(voice.name, rate=voice.rate, volume=voice.volume, log=wishes.played)


def _speech_of(speaker: EmbeddedVoice | ChildVoice | None, settings: Settings) -> Speech:
    from callout.speaking.silent import SilentSpeaker

    if speaker is None:
        return Speech(SilentSpeaker(), audible=False)
    from callout.speaking.embedded_voice import EmbeddedVoice

    spoken, usual = speaker, settings.voice.rate

    def set_rate(pace: float) -> None:
        spoken.rate = round(usual * pace)

    ahead = speaker.prepare if isinstance(speaker, EmbeddedVoice) else nothing_ahead
    return Speech(speaker, set_rate=set_rate, prepare=ahead)


def _choose_tones(settings: Settings, speaker: EmbeddedVoice | ChildVoice | None) -> Tones:
    if not settings.pacing.tones:
        return NoTones()
    from callout.speaking.embedded_voice import EmbeddedVoice
    from callout.speaking.tone_player import TonePlayer, TonesOverVoice

    volume = settings.voice.volume
    if isinstance(speaker, EmbeddedVoice):
        return TonesOverVoice(speaker, volume=volume)
    return TonePlayer(volume=volume)


def with_ears(wishes: Wishes, settings: Settings) -> Wishes:
    """Choose the ears before a journal is created, so that a wrong name leaves none behind."""
    wishes = replace(wishes, played=_played(wishes, settings))
    return replace(wishes, listener=wishes.listener or _choose_listener(wishes, settings))


def _played(wishes: Wishes, settings: Settings) -> PlayedLog | None:
    """Return the log of the tool's own voice, if a person may answer over it with a loudspeaker."""
    if not settings.talk_over or settings.pacing.barge_in or wishes.listener or wishes.replies:
        return None
    from callout.speaking.played_log import PlayedLog
    from callout.speaking.speakers import timbre_of

    return None if timbre_of(settings.voice.name) is None else PlayedLog()


def _choose_listener(wishes: Wishes, settings: Settings) -> Listener:
    from callout.app.listening.background_ear import microphone_ear, played_ear

    if wishes.replies:
        return played_ear(wishes.replies, wishes.engine, crew=crew_voices(settings))
    piped = not _is_terminal(sys.stdin)
    if wishes.hearing is HearingKind.KEYBOARD or (wishes.hearing is HearingKind.AUTO and piped):
        return Deaf()
    device = wishes.microphone or settings.microphone
    headset, crew = settings.pacing.barge_in, crew_voices(settings)
    return microphone_ear(device, wishes.engine, headset=headset, played=wishes.played, crew=crew)


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
