"""Start by voice: real sounds, the real recogniser, and the page's own way to begin a list."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from callout.app.page import calling
from callout.app.page.listening import Ears
from callout.app.page.opening import OpenPage, PageWish
from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.core.checklist_run.records import Began
from callout.core.sentences.page import list_begins
from callout.hearing.wav_file import read_wav
from callout.journal.jsonl_reader import read_journal
from callout.ports.hearing import Samples
from tests.app.page.room_kit import Microphone, Room, speaker
from tests.app.page.test_page_desk import ask

pytestmark = pytest.mark.audio
GROUP = "shipped/sandling-two"


@pytest.fixture(scope="module")
def voice() -> Callable[[str], Samples]:
    return speaker()


class Opened:
    """A page that is open, with a room round it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.room = folder, Room()
        self.viewers = 1
        self.told: list[str] = []
        ears = Ears(source=self.room.source, say=self.told.append)
        self.page = OpenPage(PageWish(port=0, browser=False), folder / "journals", ears)
        self.page.calling._viewers = lambda: self.viewers

    @property
    def call(self) -> Any:
        return self.page.hub.call

    def ask(self, what: str, **more: Any) -> dict[str, Any]:
        return ask(self.page, what, **more)

    def listen(self) -> None:
        told = self.ask("call-on", group=GROUP, replies="microphone", silent=True)
        assert told == {"ok": True}
        self.until(lambda: bool(self.call.get("listening")))

    def until(self, true: Callable[[], bool]) -> None:
        end = time.monotonic() + 120
        while not true():
            assert time.monotonic() < end, self.call
            time.sleep(0.01)

    def heard(self, sound: Samples) -> None:
        """Wait until a sound was listened to."""
        self.room.said.append(sound)
        self.until(lambda: not self.room.said and not self.room.sounding)

    def begun(self) -> list[Began]:
        found = [read_journal(p).records for p in (self.folder / "journals").glob("*.jsonl")]
        return [r[0] for r in found if r and isinstance(r[0], Began)]


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    monkeypatch.setenv("CALLOUT_LISTS", str(tmp_path / "lists"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    made = Opened(tmp_path)
    yield made
    made.page.calling.close()
    made.page.stage.close(60)


def test_the_microphone_is_off_until_somebody_chooses_it(opened: Opened) -> None:
    assert not opened.call.get("on")
    told = opened.ask("call-on", group=GROUP, replies="keyboard")
    assert "by voice" in told["said"]
    assert opened.ask("call-on", group="own/../x", replies="microphone")["ok"] is False
    assert opened.room.opened == 0


def test_a_name_that_is_heard_for_sure_begins_that_list(
    opened: Opened, voice: Callable[[str], Samples]
) -> None:
    """The microphone is given to the session, and listened to again after it."""
    opened.listen()
    assert opened.call["say"].endswith("checklist")
    opened.room.said.append(voice("before start checklist"))
    opened.until(lambda: bool(opened.begun()))
    (began,) = opened.begun()
    assert began.plan.list_id == "before-start"
    assert began.about["called"] == "before start checklist"
    assert opened.room.open == 0
    opened.page.stage.close(60)
    opened.until(lambda: bool(opened.call.get("listening")))
    assert opened.call["on"]


def test_a_name_that_no_list_has_begins_nothing(
    opened: Opened, voice: Callable[[str], Samples]
) -> None:
    """It is asked about or told; a question is answered by voice."""
    opened.listen()
    opened.room.said.append(voice("before starting checklist"))
    opened.until(lambda: bool(opened.call.get("question")) or bool(opened.call["said"]))
    assert opened.begun() == []
    assert opened.call["said"] not in ("", list_begins("Before start"))
    if opened.call.get("question"):
        assert opened.call["question"] == "Before start"
        opened.until(lambda: bool(opened.call.get("listening")))
        opened.heard(voice("no"))
        opened.until(lambda: not opened.call["question"])
    assert opened.begun() == []


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_a_question_is_answered_by_a_button(opened: Opened, answer: str) -> None:
    opened.listen()
    opened.page.calling._do(calling.alone.AskMeant("before-start", "before starting checklist"))
    assert opened.call["question"] == "Before start"
    opened.ask("call-answer", list="taxi", answer="yes")
    assert opened.begun() == [], "an answer to another question"
    opened.ask("call-answer", list="before-start", answer=answer)
    if answer == "yes":
        opened.until(lambda: bool(opened.begun()))
        assert opened.begun()[0].plan.list_id == "before-start"
    else:
        opened.until(lambda: not opened.call["question"] and bool(opened.call["listening"]))
        assert opened.begun() == []
    assert opened.ask("call-answer", list="before-start", answer="yes")["ok"]


def test_nothing_that_is_not_a_name_begins_a_list(opened: Opened) -> None:
    """Replies, talk, noise and music: every recording that is shipped."""
    opened.listen()
    folder = shipped_folder(RECORDINGS)
    sounds = [p for name in ("demo", "human", "sounds") for p in sorted((folder / name).glob("*"))]
    assert len(sounds) > 20
    for sound in sounds:
        opened.heard(read_wav(sound))
    assert opened.begun() == []
    assert not opened.call.get("question")


def test_a_list_that_is_pressed_takes_the_microphone(opened: Opened) -> None:
    opened.listen()
    key = f"{GROUP}/taxi.yaml"
    assert opened.ask("run", list=key, replies="keyboard", silent=True)["ok"]
    assert opened.room.open == 0
    opened.until(lambda: bool(opened.begun()))
    assert "running" in opened.ask("call-on", group=GROUP, replies="microphone")["said"]
    opened.page.stage.close(60)
    opened.until(lambda: bool(opened.call.get("listening")))
    assert opened.ask("call-off")["ok"]
    assert opened.room.open == 0
    assert not opened.call["on"]


def test_without_an_open_page_the_microphone_is_closed(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(calling, "UNSEEN_S", 0.05)
    opened.listen()
    opened.viewers = 0
    opened.until(lambda: not opened.call["on"])
    assert opened.room.open == 0
    assert "no page" in opened.call["said"]


def test_a_microphone_that_is_missing_is_one_sentence(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    from callout.errors import DeviceNotFound

    def missing() -> Microphone:
        raise DeviceNotFound("There is no microphone.", "Plug one in.")

    monkeypatch.setattr(opened.page.calling, "_ears", Ears(source=missing))
    assert opened.ask("call-on", group=GROUP, replies="microphone")["ok"]
    opened.until(lambda: not opened.call["on"])
    assert opened.call["said"] == "There is no microphone. Plug one in."
