"""The keys of the settings file: what each does and what it may be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.conversation.pacing import Challenger, CompletionBy, FlowMode, MemoryMode
from callout.core.conversation.withholding import Reveal
from callout.core.model.checklist import Role
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
        "Seconds; a reply faster than this is marked as too fast to have looked.",
        0,
        60,
    ),
    "pacing.slow": SettingKey(
        "pacing", "slow_s", float, "Seconds; a reply slower than this is marked as slow.", 0, 3600
    ),
    "pacing.silence": SettingKey(
        "pacing",
        "silence_s",
        float,
        "Seconds of silence before the challenge is repeated; 0: never.",
        0,
        3600,
    ),
    "pacing.tail": SettingKey(
        "pacing", "tail_s", float, "Seconds to wait after the voice before listening begins.", 0, 5
    ),
    "pacing.completion": SettingKey(
        "pacing",
        "completion_by",
        CompletionBy,
        "Who makes the completion call: the tool or the person.",
    ),
    "pacing.flow": SettingKey(
        "pacing",
        "flow",
        FlowMode,
        "How the tool follows a flow: timed only, or in a stage of learning; next: the stage due.",
    ),
    "pacing.memory": SettingKey(
        "pacing",
        "memory",
        MemoryMode,
        "Whether memory items are recited first, or read like other items.",
    ),
    "pacing.reveal": SettingKey(
        "pacing", "reveal", Reveal, "When a refusal reveals the right reply."
    ),
    "hearing.headset": SettingKey(
        "pacing",
        "barge_in",
        bool,
        "You wear a headset, so you can answer while a challenge is being read.",
    ),
    "hearing.talk_over": SettingKey(
        "",
        "talk_over",
        bool,
        "Answer over the challenge without a headset: the built-in voice is taken out of what the"
        " microphone hears. Try it first: `callout mic --tool-voice`.",
    ),
    "hearing.microphone": SettingKey(
        "", "microphone", str, "Name of the microphone; `callout devices` lists them."
    ),
    "hearing.voice": SettingKey(
        "", "own_voice", str, "Your voice profile from `callout mic --enrol`."
    ),
    "crew.left": SettingKey("", "left_voice", str, "Voice profile of the person in the left seat."),
    "crew.right": SettingKey(
        "", "right_voice", str, "Voice profile of the person in the right seat."
    ),
    "voice.speak": SettingKey("voice", "speak", bool, "Read challenges aloud."),
    "voice.rate": SettingKey(
        "voice", "rate", int, "Speed of the voice, in words per minute.", 60, 450
    ),
    "voice.volume": SettingKey("voice", "volume", float, "Volume of the voice, 1 is full.", 0, 1),
    "voice.name": SettingKey(
        "voice",
        "name",
        str,
        'The voice: "built-in", "built-in low", "platform" for your system\'s '
        "usual voice, or the name of one of your system's voices.",
    ),
    "voice.tones": SettingKey("pacing", "tones", bool, "Play a short tone with each verdict."),
    "crew.size": SettingKey("", "crew", int, "How many people answer.", 1, 2),
    "crew.challenges": SettingKey(
        "pacing", "challenger", Challenger, "Who reads the challenges: the tool or the other pilot."
    ),
    "crew.flying": SettingKey(
        "pacing", "flying", Role, "Which seat flies.", only=(Role.LEFT_SEAT, Role.RIGHT_SEAT)
    ),
    "crew.name": SettingKey(
        "", "crew_name", str, "Name of this crew; items due once per crew depend on it."
    ),
    "simulator.lacks": SettingKey(
        "",
        "lacks",
        str,
        "Parts your simulator does not have, separated by commas; their items are skipped.",
    ),
    "screen.plain": SettingKey(
        "", "plain", bool, "One line per event, for screen readers and pipes."
    ),
    "screen.colours": SettingKey("", "colours", Colours, "Colours of the screen."),
    "journal.folder": SettingKey(
        "", "journal_dir", str, "Journal folder; empty: your data folder."
    ),
}
