"""The keys of the settings file: what each does and what it may be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.conversation.pacing import Challenger, CompletionBy, FlowMode, MemoryMode
from callout.core.conversation.withholding import Reveal
from callout.core.model.checklist import Role
from callout.core.sentences import settings_help as sentences
from callout.core.sentences.commands import option_help
from callout.terminal.theme import Colours


@dataclass(frozen=True, slots=True)
class SettingKey:
    """One line of the settings file: where its value goes and what it may be."""

    part: str
    """Attribute of Settings that holds it; empty for Settings itself."""
    name: str
    kind: type
    about: str
    """What it does, in one line for a person."""
    least: float = 0
    """Smallest number allowed."""
    most: float = 1e6
    """Largest number allowed."""
    only: tuple[Enum, ...] = ()
    """Members that may be chosen; empty: all of them."""

    @property
    def allowed(self) -> str:
        """The allowed values, in words."""
        if issubclass(self.kind, Enum):
            return ", ".join(str(member.value) for member in self.only or self.kind)
        if self.kind is bool:
            return "true or false"
        return "text" if self.kind is str else f"{self.least:g} to {self.most:g}"

    def of(self, settings: object) -> object:
        """Return its value in a ``Settings``: a text, number or boolean."""
        value = getattr(getattr(settings, self.part) if self.part else settings, self.name)
        return value.value if isinstance(value, Enum) else value


KEYS: dict[str, SettingKey] = {
    "pacing.glance": SettingKey(
        "pacing",
        "glance_s",
        float,
        sentences.PACING_GLANCE,
        0,
        60,
    ),
    "pacing.slow": SettingKey("pacing", "slow_s", float, sentences.PACING_SLOW, 0, 3600),
    "pacing.silence": SettingKey(
        "pacing",
        "silence_s",
        float,
        sentences.PACING_SILENCE,
        0,
        3600,
    ),
    "pacing.tail": SettingKey("pacing", "tail_s", float, sentences.PACING_TAIL, 0, 5),
    "pacing.completion": SettingKey(
        "pacing",
        "completion_by",
        CompletionBy,
        sentences.PACING_COMPLETION,
    ),
    "pacing.flow": SettingKey(
        "pacing",
        "flow",
        FlowMode,
        sentences.PACING_FLOW,
    ),
    "pacing.memory": SettingKey(
        "pacing",
        "memory",
        MemoryMode,
        sentences.PACING_MEMORY,
    ),
    "pacing.reveal": SettingKey("pacing", "reveal", Reveal, sentences.PACING_REVEAL),
    "hearing.headset": SettingKey(
        "pacing",
        "barge_in",
        bool,
        sentences.HEARING_HEADSET,
    ),
    "hearing.talk_over": SettingKey(
        "",
        "talk_over",
        bool,
        sentences.HEARING_TALK_OVER,
    ),
    "hearing.microphone": SettingKey("", "microphone", str, sentences.HEARING_MICROPHONE),
    "hearing.voice": SettingKey("", "own_voice", str, sentences.HEARING_VOICE),
    "hearing.keep_sound": SettingKey("", "keep_sound", bool, sentences.HEARING_KEEP_SOUND),
    "crew.left": SettingKey("", "left_voice", str, sentences.CREW_LEFT),
    "crew.right": SettingKey("", "right_voice", str, sentences.CREW_RIGHT),
    "voice.speak": SettingKey("voice", "speak", bool, sentences.VOICE_SPEAK),
    "voice.rate": SettingKey("voice", "rate", int, sentences.VOICE_RATE, 60, 450),
    "voice.volume": SettingKey("voice", "volume", float, sentences.VOICE_VOLUME, 0, 1),
    "voice.name": SettingKey(
        "voice",
        "name",
        str,
        sentences.VOICE_NAME,
    ),
    "voice.tones": SettingKey("pacing", "tones", bool, sentences.VOICE_TONES),
    "crew.size": SettingKey("", "crew", int, sentences.CREW_SIZE, 1, 2),
    "crew.challenges": SettingKey("pacing", "challenger", Challenger, sentences.CREW_CHALLENGES),
    "crew.flying": SettingKey(
        "pacing",
        "flying",
        Role,
        sentences.CREW_FLYING,
        only=(Role.LEFT_SEAT, Role.RIGHT_SEAT),
    ),
    "crew.name": SettingKey("", "crew_name", str, sentences.CREW_NAME),
    "simulator.lacks": SettingKey(
        "",
        "lacks",
        str,
        sentences.SIMULATOR_LACKS,
    ),
    "screen.plain": SettingKey("", "plain", bool, option_help.PLAIN),
    "screen.colours": SettingKey("", "colours", Colours, sentences.SCREEN_COLOURS),
    "journal.folder": SettingKey("", "journal_dir", str, sentences.JOURNAL_FOLDER),
}
