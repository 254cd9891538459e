"""Setting up on the page: what the machine has, a microphone test, the voice, the settings."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import TYPE_CHECKING, Any

from callout.app.page.page_session import TRYING, Stage
from callout.app.page.request_fields import Answer, Handler, text_in
from callout.app.shared.setting_keys import KEYS, SettingKey
from callout.app.shared.settings import Settings, load_settings, settings_path
from callout.core.sentences import page as sentences
from callout.core.sentences.page_advice import for_the_page
from callout.errors import CalloutError

if TYPE_CHECKING:
    from callout.app.listening.enrolling import Step
    from callout.app.listening.microphone_booth import LevelReading

LONGEST_SAID = 300


class SettingUp:
    """Sound check and settings."""

    def __init__(self, stage: Stage) -> None:
        self._stage = stage

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {
            "settings": _settings,
            "set": _set,
            "devices": _devices,
            "doctor": _doctor,
            "voices": _voices,
            "say": self._say,
            "try-microphone": self._try_microphone,
            "enrol": self._enrol,
        }

    def _say(self, wish: Mapping[str, Any]) -> Answer:
        """Read something aloud, with the configured voice and pace."""
        from callout.speaking.speakers import speaker_of

        self._stage.must_be_free()
        words = " ".join(text_in(wish, "words", LONGEST_SAID).split()) if "words" in wish else ""
        voice = load_settings().voice
        speaker = speaker_of(voice.name, rate=voice.rate, volume=voice.volume)
        try:
            if not speaker.say(words or sentences.VOICE_SAMPLE):
                said = speaker.failure or sentences.VOICE_SILENT
                raise CalloutError(said, speaker.hint or sentences.LOOK_AT_MACHINE)
        finally:
            speaker.close()
        return {}

    def _try_microphone(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.listening.microphone_trial import try_microphone

        device = text_in(wish, "device") if "device" in wish else ""
        trial = _Trial(self._stage)

        def run() -> None:
            tried = try_microphone(device, (), trial.tell, trial.show)
            trial.end(list(tried.lines()), usable=tried.usable)

        self._stage.start(run, TRYING, after="", trial=trial.shown)
        return {}

    def _enrol(self, wish: Mapping[str, Any]) -> Answer:
        """Learn a person's voice, and use it for replies from now on."""
        from callout.app.listening.microphone_trial import enrol_voice
        from callout.app.shared.settings_file import save_setting
        from callout.hearing.voices import checked_name

        name = checked_name(text_in(wish, "name", 60))
        device = text_in(wish, "device") if "device" in wish else ""
        trial = _Trial(self._stage)

        def run() -> None:
            voice, _ = enrol_voice(name, device, (), 3, None, trial.ask, trial.show, trial.tell)
            save_setting("hearing.voice", voice.name)
            trial.end([sentences.voice_learnt(voice.name, len(voice.words))], usable=True)

        self._stage.start(run, TRYING, after="", trial=trial.shown)
        return {}


class _Trial:
    """The current request and sound level, for the page to show."""

    def __init__(self, stage: Stage) -> None:
        self._stage = stage
        self._lines: list[str] = []
        self.shown: Mapping[str, Any] = {"lines": [], "level": None, "noise": None, "ended": False}

    def tell(self, line: str) -> None:
        """Show a line."""
        self._lines.append(line)
        self._put(lines=list(self._lines))

    def ask(self, step: Step) -> None:
        """Ask for one word of an enrolment."""
        self.tell(sentences.say_word(step.number, step.total, step.word.upper(), step.again))

    def show(self, reading: LevelReading) -> None:
        """Show the current level."""
        if reading.level.seconds:
            self._put(level=round(reading.level.rms_db), noise=round(reading.noise_db))

    def end(self, lines: list[str], *, usable: bool) -> None:
        """Show the result."""
        self._put(outcome=lines, usable=usable, ended=True, level=None)

    def _put(self, **changes: Any) -> None:
        self.shown = {**self.shown, **changes}
        self._stage.hub.put(trial=self.shown)


def _settings(wish: Mapping[str, Any]) -> Answer:
    settings = load_settings()
    rows = [_setting_row(name, key, settings) for name, key in KEYS.items()]
    return {"rows": rows, "file": str(settings_path())}


def _setting_row(name: str, key: SettingKey, settings: Settings) -> Answer:
    choices: list[str] = []
    if issubclass(key.kind, Enum):
        choices = [str(member.value) for member in key.only or key.kind]
    kind = {bool: "yes or no", str: "text"}.get(key.kind, "number")
    return {
        "key": name,
        "about": sentences.ABOUT.get(name, key.about),
        "kind": "choice" if choices else kind,
        "choices": choices,
        "whole": key.kind is int,
        "least": key.least,
        "most": key.most,
        "value": key.of(settings),
        "usual": key.of(Settings()),
    }


def _set(wish: Mapping[str, Any]) -> Answer:
    from callout.app.shared.settings_file import save_setting, value_of

    name = text_in(wish, "key")
    save_setting(name, value_of(name, text_in(wish, "value")))
    return {"row": _setting_row(name, KEYS[name], load_settings())}


def _devices(wish: Mapping[str, Any]) -> Answer:
    from callout import portaudio

    library = portaudio.load_library()
    found = [d.name for d in portaudio.list_devices(library) if d.inputs]
    try:
        usual = portaudio.find_device(library, None).name
    except CalloutError:
        usual = ""
    chosen = load_settings().microphone
    return {"names": list(dict.fromkeys(found)), "usual": usual, "chosen": chosen}


def _doctor(wish: Mapping[str, Any]) -> Answer:
    from callout.app.doctor.examination import examine_machine

    report = examine_machine()
    return {
        "can_hear": report.can_hear,
        "can_speak": report.can_speak,
        "rows": [
            {
                "name": finding.name,
                "state": finding.state.value,
                "message": for_the_page(finding.message),
                "fix": for_the_page(finding.fix),
            }
            for finding in report.findings
        ],
    }


def _voices(wish: Mapping[str, Any]) -> Answer:
    from callout.hearing.voices import enrolled_voices

    return {"names": [voice.name for voice in enrolled_voices()]}
