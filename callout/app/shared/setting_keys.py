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
        """What may stand there, in words."""
        if issubclass(self.kind, Enum):
            return ", ".join(str(member.value) for member in self.only or self.kind)
        if self.kind is bool:
            return "true or false"
        return "text" if self.kind is str else f"{self.least:g} to {self.most:g}"

    def of(self, settings: object) -> object:
        """Return its value in a ``Settings``: a text, number or truth value."""
        value = getattr(getattr(settings, self.part) if self.part else settings, self.name)
        return value.value if isinstance(value, Enum) else value


KEYS: dict[str, SettingKey] = {
    "pacing.glance": SettingKey(
        "pacing",
        "glance_s",
        float,
        sentences.SECONDS_FASTER_REPLY_MARKED,
        0,
        60,
    ),
    "pacing.slow": SettingKey(
        "pacing", "slow_s", float, sentences.SECONDS_SLOWER_REPLY_MARKED, 0, 3600
    ),
    "pacing.silence": SettingKey(
        "pacing",
        "silence_s",
        float,
        sentences.SECONDS_SILENCE_BEFORE_CHALLENGE,
        0,
        3600,
    ),
    "pacing.tail": SettingKey("pacing", "tail_s", float, sentences.SECONDS_BETWEEN_END_VOICE, 0, 5),
    "pacing.completion": SettingKey(
        "pacing",
        "completion_by",
        CompletionBy,
        sentences.WHO_MAKES_COMPLETION_CALL,
    ),
    "pacing.flow": SettingKey(
        "pacing",
        "flow",
        FlowMode,
        sentences.HOW_TOOL_FOLLOWS_FLOW,
    ),
    "pacing.memory": SettingKey(
        "pacing",
        "memory",
        MemoryMode,
        sentences.WHETHER_YOU_RECITE_MEMORY,
    ),
    "pacing.reveal": SettingKey("pacing", "reveal", Reveal, sentences.WHEN_REFUSAL_REVEALS_RIGHT),
    "hearing.headset": SettingKey(
        "pacing",
        "barge_in",
        bool,
        sentences.YOU_WEAR_HEADSET_SO,
    ),
    "hearing.talk_over": SettingKey(
        "",
        "talk_over",
        bool,
        sentences.ANSWER_DURING_CHALLENGE_WITHOUT,
    ),
    "hearing.microphone": SettingKey(
        "", "microphone", str, sentences.NAME_MICROPHONE_CALLOUT_DEVICES
    ),
    "hearing.voice": SettingKey("", "own_voice", str, sentences.YOUR_VOICE_PROFILE_FROM),
    "crew.left": SettingKey("", "left_voice", str, sentences.VOICE_PROFILE_PERSON_LEFT),
    "crew.right": SettingKey("", "right_voice", str, sentences.VOICE_PROFILE_PERSON_RIGHT),
    "voice.speak": SettingKey("voice", "speak", bool, sentences.READ_CHALLENGES_ALOUD),
    "voice.rate": SettingKey("voice", "rate", int, sentences.SPEED_VOICE_WORDS_PER, 60, 450),
    "voice.volume": SettingKey("voice", "volume", float, sentences.VOLUME_VOICE_1_FULL, 0, 1),
    "voice.name": SettingKey(
        "voice",
        "name",
        str,
        sentences.VOICE_BUILT_BUILT_LOW,
    ),
    "voice.tones": SettingKey("pacing", "tones", bool, sentences.PLAY_SHORT_TONE_EACH),
    "crew.size": SettingKey("", "crew", int, sentences.HOW_MANY_PEOPLE_ANSWER, 1, 2),
    "crew.challenges": SettingKey(
        "pacing", "challenger", Challenger, sentences.WHO_READS_CHALLENGES_TOOL
    ),
    "crew.flying": SettingKey(
        "pacing",
        "flying",
        Role,
        sentences.WHICH_SEAT_PILOT_FLYING,
        only=(Role.LEFT_SEAT, Role.RIGHT_SEAT),
    ),
    "crew.name": SettingKey("", "crew_name", str, sentences.NAME_CREW_ITEMS_DUE),
    "simulator.lacks": SettingKey(
        "",
        "lacks",
        str,
        sentences.PARTS_YOUR_SIMULATOR_DOES,
    ),
    "screen.plain": SettingKey("", "plain", bool, option_help.ONE_LINE_PER_EVENT),
    "screen.colours": SettingKey("", "colours", Colours, sentences.COLOURS_SCREEN),
    "journal.folder": SettingKey("", "journal_dir", str, sentences.JOURNAL_FOLDER_EMPTY_YOUR),
}
