"""A person's settings: a small file, then the environment, then the command line."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from pathlib import Path
from typing import Any

from platformdirs import user_config_path, user_data_path

from callout.app.shared.setting_keys import KEYS, SettingKey
from callout.core.conversation.pacing import Challenger, Pacing
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import settings_help as sentences
from callout.errors import CalloutError
from callout.terminal.theme import Colours

SETTINGS_VARIABLE = "CALLOUT_SETTINGS"
JOURNAL_VARIABLE = "CALLOUT_JOURNAL_DIR"


class SettingsInvalid(CalloutError):
    """The settings file cannot be used."""


@dataclass(frozen=True, slots=True)
class VoiceSettings:
    """How challenges are spoken."""

    speak: bool = True
    rate: int = 180
    """Words per minute."""
    volume: float = 1.0
    """0 (silent) to 1 (full)."""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything that can be set."""

    pacing: Pacing = field(default_factory=Pacing)
    voice: VoiceSettings = field(default_factory=VoiceSettings)
    crew: int = 1
    """People who answer: 1 or 2."""
    crew_name: str = ""
    """Who flies; items due once per crew depend on it."""
    plain: bool = False
    colours: Colours = Colours.DARK
    journal_dir: str = ""
    microphone: str = ""
    talk_over: bool = False
    """Without a headset, listen while the built-in voice speaks."""
    keep_sound: bool = False
    """Keep the sound of replies beside the journal."""
    own_voice: str = ""
    """Name of the enrolled voice that replies; empty: none."""
    lacks: str = ""
    """Parts that the simulator does not have, separated by commas."""
    left_voice: str = ""
    right_voice: str = ""
    """Names of the enrolled voices in the two seats."""

    @property
    def lacking(self) -> tuple[str, ...]:
        """The parts that the simulator does not have."""
        return tuple(part.strip() for part in self.lacks.split(",") if part.strip())

    @property
    def seats(self) -> int:
        """How many people answer."""
        return 2 if self.pacing.challenger is Challenger.PERSON else self.crew


def settings_path() -> Path:
    """Return where the settings file is, whether it exists or not."""
    named = os.environ.get(SETTINGS_VARIABLE)
    return Path(named) if named else user_config_path("callout", appauthor=False) / "settings.toml"


def load_settings(path: Path | None = None) -> Settings:
    """Read the settings file; without one, everything is as shipped. Raises SettingsInvalid."""
    path = path or settings_path()
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings()
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsInvalid(sentences.settings_unreadable(path, error)) from error
    except tomllib.TOMLDecodeError as error:
        raise SettingsInvalid(
            sentences.not_toml(path, error), sentences.SETTINGS_FILE_HINT
        ) from error
    return settings_from(raw, str(path))


def settings_from(raw: Mapping[str, Any], file: str) -> Settings:
    """Return settings from tables of keys; raise SettingsInvalid naming the key."""
    settings = Settings()
    for table, keys in raw.items():
        if not isinstance(keys, Mapping):
            raise SettingsInvalid(sentences.outside_a_table(file, table), _known_tables())
        for name, value in keys.items():
            settings = _with_value(settings, f"{table}.{name}", value, file)
    return settings


def journal_folder(option: str | None, settings: Settings) -> Path:
    """Return where journals are kept: option, environment, settings, or the platform's folder."""
    chosen = option or os.environ.get(JOURNAL_VARIABLE) or settings.journal_dir
    if chosen:
        return Path(chosen).expanduser()
    return user_data_path("callout", appauthor=False) / "journals"


def _with_value(settings: Settings, key: str, value: Any, file: str) -> Settings:
    spec = KEYS.get(key)
    if spec is None:
        raise SettingsInvalid(
            sentences.not_a_setting(file, key), did_you_mean(key, KEYS) or _known_tables()
        )
    facts = {spec.name: _checked_value(spec, key, value, file)}
    if not spec.part:
        return replace(settings, **facts)
    return replace(settings, **{spec.part: replace(getattr(settings, spec.part), **facts)})


def _checked_value(spec: SettingKey, key: str, value: Any, file: str) -> Any:
    if issubclass(spec.kind, Enum):
        names = [member.value for member in spec.only or spec.kind]
        if value in names:
            return spec.kind(value)
        raise SettingsInvalid(sentences.must_be_one_of(file, key, ", ".join(names)))
    if spec.kind in (bool, str):
        if isinstance(value, spec.kind):
            return value
        wanted = "true or false" if spec.kind is bool else "a text in quotes"
        raise SettingsInvalid(sentences.must_be(file, key, wanted))
    whole = spec.kind is int
    number = isinstance(value, int if whole else int | float) and not isinstance(value, bool)
    if number and spec.least <= value <= spec.most:
        return value if whole else float(value)
    kind = "a whole number" if whole else "a number"
    raise SettingsInvalid(sentences.must_be_from_to(file, key, kind, spec.least, spec.most))


def _known_tables() -> str:
    return sentences.settings_are(", ".join(KEYS))
