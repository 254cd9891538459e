"""Whose enrolled voice a session compares replies with: nobody's that was not chosen."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from callout.app.listening.crew_voices import crew_voices
from callout.app.shared.settings import Settings, SettingsInvalid, settings_from
from callout.core.model.checklist import Role
from callout.hearing.colour import COEFFICIENTS
from callout.hearing.voices import Voice, VoiceInvalid, VoiceTake, keep_voice


@pytest.fixture(autouse=True)
def _enrolled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CALLOUT_VOICES_DIR", str(tmp_path))
    _enrol("Anna")


def _enrol(name: str) -> None:
    take = VoiceTake("on", np.zeros((3, 288), np.float32), np.zeros(COEFFICIENTS, np.float32))
    keep_voice(Voice(name, (take,)))


def _settings(**tables: dict[str, str]) -> Settings:
    return settings_from(dict(tables), "settings.toml")


def test_the_only_voice_enrolled_is_not_used_unchosen() -> None:
    assert crew_voices(_settings()).voices == ()


def test_a_chosen_voice_is_used_and_one_that_is_not_there_says_how_to_enrol_it() -> None:
    assert [v.name for v in crew_voices(_settings(hearing={"voice": "anna"})).voices] == ["Anna"]
    with pytest.raises(VoiceInvalid) as refused:
        crew_voices(_settings(hearing={"voice": "Ben"}))
    assert 'callout mic --enrol "Ben"' in refused.value.hint


def test_two_seats_are_two_people() -> None:
    _enrol("Ben")
    found = crew_voices(_settings(crew={"left": "Anna", "right": "Ben"}))
    assert found.seats == {"Anna": Role.LEFT_SEAT, "Ben": Role.RIGHT_SEAT}
    with pytest.raises(SettingsInvalid):
        crew_voices(_settings(crew={"left": "Anna", "right": "Anna"}))
    assert [v.name for v in crew_voices(_settings(crew={"left": "Ben"})).voices] == ["Ben"]
