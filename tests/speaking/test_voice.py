"""The voice: deadline, giving up, cutting, settings."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from typing import Any

import pytest

from callout.errors import EngineUnavailable
from callout.speaking.child import LATE, SoundChild
from callout.speaking.choice import choose_voice
from callout.speaking.voice import ChildVoice, voice_available
from tests.speaking.children import CANNOT, HANGS, SPEAKS, child


class _Scripted(SoundChild):
    """Keeps the requests and gives prepared replies, then yes."""

    def __init__(self, *replies: Mapping[str, Any]) -> None:
        super().__init__()
        self.replies = list(replies)
        self.asked: list[Mapping[str, Any]] = []

    def kill(self) -> None:
        """Nothing to end."""

    def start(self) -> None:
        """Nothing runs here."""

    def ask(self, request: Mapping[str, Any], seconds: float, cancelled: Any = None) -> Any:
        self.asked.append(request)
        return self.replies.pop(0) if self.replies else {"ok": True}


def test_spoken_is_true() -> None:
    voice = ChildVoice(child=child(SPEAKS))
    assert voice.say("Beacon")
    assert voice.say("  ")
    voice.close()


def test_a_voice_that_hangs_is_killed_tried_once_more_and_then_left() -> None:
    voice = ChildVoice(child=child(HANGS), start_s=0.1, device_s=0.0, word_s=0.01)
    assert not voice.say("Beacon")
    assert not voice.failure
    assert not voice.say("Beacon")
    assert "in time" in voice.failure
    assert voice.hint
    assert not voice.say("Beacon")
    voice.revive()
    assert not voice.failure
    voice.close()


def test_one_hang_is_forgiven_when_speech_works_again() -> None:
    scripted = _Scripted({"ok": True}, LATE, {"ok": True}, LATE, {"ok": True}, LATE, LATE)
    voice = ChildVoice(child=scripted)
    said = [voice.say("Beacon") for _ in range(9)]
    assert said == [True, False, True, False, True, False, False, False, False]
    assert voice.failure
    assert len(scripted.asked) == 7
    voice.close()


def test_the_engine_s_own_reason_and_remedy_are_kept() -> None:
    voice = ChildVoice(child=child(CANNOT))
    assert not voice.say("Beacon")
    assert not voice.say("Beacon")
    assert (voice.failure, voice.hint) == ("no speaker", "plug in")
    voice.close()


def test_stop_cuts_at_once_and_is_no_failure() -> None:
    voice = ChildVoice(child=child(HANGS), start_s=3600)
    voice.stop()  # nothing is spoken
    for _ in range(3):
        timer = threading.Timer(0.1, voice.stop)
        timer.start()
        assert not voice.say("a very long challenge")
        timer.join()
        assert not voice.failure
    voice.close()


def test_settings_hold_from_the_next_word_and_stay_in_range() -> None:
    recorded = _Scripted()
    voice = ChildVoice(child=recorded, rate=200, volume=0.5, voice="en-gb")
    voice.say("one")
    voice.rate, voice.volume, voice.voice = 9000, -1.0, None
    voice.say("two")
    first, second = recorded.asked
    assert (first["rate"], first["volume"], first["voice"]) == (200, 0.5, "en-gb")
    assert (second["rate"], second["volume"], second["voice"]) == (450, 0.0, None)
    voice.close()


def test_slow_and_long_speech_has_more_time() -> None:
    voice = ChildVoice(child=_Scripted())
    usual = voice.deadline("one two three")
    assert voice.deadline("one two three four") > usual
    assert voice.deadline("x" * 300) > usual
    assert voice.deadline("1" * 50) > usual + 10
    voice.rate = 90
    assert voice.deadline("one two three") > usual
    voice.close()


def test_a_missing_engine_is_said_with_its_remedy() -> None:
    assert voice_available(child(CANNOT)) == (False, "no speaker", "plug in")
    voice = ChildVoice(child=child(CANNOT))
    with pytest.raises(EngineUnavailable, match="no speaker"):
        voice.voices()
    voice.close()


def test_this_machine_s_voice_ends_within_its_deadline_and_the_session_goes_on() -> None:
    """The real engine, with a loudspeaker or without."""
    able, message, hint = voice_available()
    assert message
    assert able or hint
    voice = ChildVoice(volume=0.0)
    spoken = [voice.say("on") for _ in range(3)]
    assert all(spoken) or (not any(spoken) and voice.failure and voice.hint)
    voice.close()


VOICES = [
    {"id": "gmw/en", "name": "English (Great Britain)", "languages": ["en-gb"]},
    {"id": "gmw/en-us", "name": "English (America)", "languages": ["en-us"]},
    {"id": "com.maker.voice.Ada", "name": "Ada", "languages": ["en_GB"]},
    {"id": "gmw/de", "name": "German", "languages": ["de"]},
]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ("gmw/en", 0),
        ("GMW/EN-US", 1),
        ("ada", 2),
        ("German", 3),
        ("en-us", 1),
        ("america", 1),
        ("maker", 2),
        ("de", 3),
        ("nobody", None),
        (" ", None),
    ],
)
def test_a_voice_is_chosen_by_id_name_language_or_part(wanted: str, found: int | None) -> None:
    assert choose_voice(VOICES, wanted) == (None if found is None else VOICES[found])
