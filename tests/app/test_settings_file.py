"""One setting is changed and the rest of the file stays as it is."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from callout.app.settings import SettingsInvalid, load_settings
from callout.app.settings_file import save_text

BEFORE = "# mine\n[hearing]\nheadset = true\n\n[voice]\nrate = 200 # brisk\n"


@pytest.mark.parametrize(
    "text", ["", BEFORE, BEFORE.replace("headset", 'microphone = "x"\nheadset')]
)
def test_a_microphone_is_kept_and_nothing_else_changes(text: str, tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    if text:
        path.write_text(text)
    save_text("hearing.microphone", 'Desk "A"', path)
    after = path.read_text()
    assert load_settings(path).microphone == 'Desk "A"'
    assert all(line in after for line in text.splitlines() if "microphone" not in line)
    assert tomllib.loads(after)["hearing"].get("headset", True)


def test_a_damaged_file_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("[hearing\n")
    with pytest.raises(SettingsInvalid):
        save_text("hearing.microphone", "Desk", path)
    assert path.read_text() == "[hearing\n"
