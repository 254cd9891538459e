"""One setting is changed and the rest of the file stays as it is."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.shared.setting_keys import KEYS
from callout.app.shared.settings import SETTINGS_VARIABLE, Settings, SettingsInvalid, load_settings
from callout.app.shared.settings_file import save_setting
from callout.cli.main import app

BEFORE = "# mine\n[hearing]\nheadset = true\n\n[voice]\nrate = 200 # brisk\n"


@pytest.mark.parametrize(
    "text", ["", BEFORE, BEFORE.replace("headset", 'microphone = "x"\nheadset')]
)
def test_a_microphone_is_kept_and_nothing_else_changes(text: str, tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    if text:
        path.write_text(text)
    save_setting("hearing.microphone", 'Desk "A"', path)
    after = path.read_text()
    assert load_settings(path).microphone == 'Desk "A"'
    assert all(line in after for line in text.splitlines() if "microphone" not in line)
    assert tomllib.loads(after)["hearing"].get("headset", True)


def test_a_damaged_file_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("[hearing\n")
    with pytest.raises(SettingsInvalid):
        save_setting("hearing.microphone", "Desk", path)
    assert path.read_text() == "[hearing\n"


def test_every_setting_is_shown_and_can_be_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "settings.toml"
    monkeypatch.setenv(SETTINGS_VARIABLE, str(path))
    shown = CliRunner().invoke(app, ["settings"]).output
    for key, spec in KEYS.items():
        if spec.of(Settings()) is None:
            assert f"{key} = not set" in shown
            continue
        value = json.dumps(spec.of(Settings()), ensure_ascii=False)
        assert f"{key} = {value}" in shown
        result = CliRunner().invoke(app, ["settings", key, value.strip('"')])
        assert result.exit_code == 0, result.output
    assert load_settings(path) == Settings()
    assert len(tomllib.loads(path.read_text())) == len({key.split(".")[0] for key in KEYS})


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("pacing.silense", "3", 'Did you mean "pacing.silence"'),
        ("pacing.silence", "soon", "a number from 0 to 3600"),
        ("voice.speak", "perhaps", "true or false"),
        ("crew.size", "3", "a whole number from 1 to 2"),
    ],
)
def test_a_value_that_does_not_fit_changes_nothing(
    key: str, value: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(BEFORE)
    monkeypatch.setenv(SETTINGS_VARIABLE, str(path))
    result = CliRunner().invoke(app, ["settings", key, value])
    assert isinstance(result.exception, SettingsInvalid)
    assert says in f"{result.exception.message} {result.exception.hint}"
    assert path.read_text() == BEFORE
