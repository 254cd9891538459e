"""Settings: file, environment, option."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.shared.settings import (
    JOURNAL_VARIABLE,
    SETTINGS_VARIABLE,
    Settings,
    SettingsInvalid,
    journal_folder,
    load_settings,
    settings_path,
)
from callout.core.conversation.pacing import CompletionBy, FlowMode
from callout.terminal.theme import Colours

FULL = """
[pacing]
glance = 0.5
slow = 20
silence = 0
tail = 0.1
completion = "person"
flow = "prompt"
[hearing]
headset = true
microphone = "Desk mic"
[voice]
speak = false
rate = 150
volume = 0.5
name = "en-gb"
tones = true
[crew]
size = 2
[screen]
plain = true
colours = "light"
[journal]
folder = "/somewhere"
"""


def test_every_setting_can_be_set(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(FULL)
    found = load_settings(path)
    assert found.pacing.glance_s == 0.5
    assert found.pacing.slow_s == 20.0
    assert found.pacing.completion_by is CompletionBy.PERSON
    assert found.pacing.flow is FlowMode.PROMPT
    assert found.pacing.barge_in
    assert found.pacing.tones
    assert (found.voice.rate, found.voice.name, found.voice.speak) == (150, "en-gb", False)
    assert found.colours is Colours.LIGHT
    assert (found.crew, found.plain, found.microphone) == (2, True, "Desk mic")


def test_no_file_is_as_shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(SETTINGS_VARIABLE, str(tmp_path / "none.toml"))
    assert settings_path() == tmp_path / "none.toml"
    assert load_settings() == Settings()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[pacing]\nglanze = 1", 'Did you mean "pacing.glance"'),
        ("[pacing]\nglance = -1", "a number from 0 to 60"),
        ("[pacing]\nglance = true", "a number from 0 to 60"),
        ("[voice]\nrate = 1.5", "a whole number from 60 to 450"),
        ("[voice]\nspeak = 1", "true or false"),
        ("[pacing]\nflow = 'loud'", "one of: silent, prompt"),
        ("glance = 1", "is outside a table"),
        ("[pacing", "is not TOML"),
    ],
)
def test_mistakes_are_named_with_their_remedy(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text)
    with pytest.raises(SettingsInvalid) as caught:
        load_settings(path)
    assert message in f"{caught.value.message} {caught.value.hint}"
    assert str(path) in caught.value.message


def test_the_journal_folder_is_chosen_by_option_then_environment_then_setting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv(JOURNAL_VARIABLE, raising=False)
    assert journal_folder(None, Settings(journal_dir="/set")) == Path("/set")
    monkeypatch.setenv(JOURNAL_VARIABLE, "/env")
    assert journal_folder(None, Settings(journal_dir="/set")) == Path("/env")
    assert journal_folder("/option", Settings(journal_dir="/set")) == Path("/option")
    monkeypatch.delenv(JOURNAL_VARIABLE)
    assert journal_folder(None, Settings()).name == "journals"
