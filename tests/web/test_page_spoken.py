"""Spoken replies through the page: real sounds, the real recogniser, a real browser.

Recordings in place of a microphone always; a virtual microphone where PulseAudio is installed.
"""

from __future__ import annotations

import subprocess
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from callout.app.page import calling
from callout.app.page.listening import Ears
from callout.app.page.opening import OpenPage, PageWish
from callout.app.shared.shipped import RECORDINGS, shipped_folder
from callout.core.checklist_run import records as r
from callout.core.flight_run.called_alone import AskMeant
from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict
from callout.hearing.wav_file import read_wav
from callout.journal.jsonl_reader import read_journal
from tests.app.page.room_kit import Room, speaker
from tests.sound_server import SoundServer, usable
from tests.web.app_kit import CHROMIUM, DESK, App, challenge, chromium, enter, violations

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.audio,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
TWO = """\
callout: 1
id: two
title: Two items
phase: before-start
method: challenge-and-response
complete: two items complete
items:
  - {id: brake, challenge: Parking brake, response: on}
  - {id: avionics, challenge: Avionics master, response: off}
"""
SAID = ("human/off", "human/coffee", "demo/on-1", "human/off")
PATIENCE_MS = 120_000


def recording(name: str) -> Path:
    return shipped_folder(RECORDINGS) / f"{name}.wav"


def a_list(folder: Path) -> None:
    plane = folder / "lists" / "my-plane"
    plane.mkdir(parents=True)
    (plane / "two.yaml").write_text(TWO)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium(playwright) as made:
        yield made


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OpenPage]:
    """The page, with recordings where its sessions would open a microphone."""
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    monkeypatch.setenv("CALLOUT_LISTS", str(tmp_path / "lists"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    a_list(tmp_path)
    made = OpenPage(PageWish(port=0, browser=False), tmp_path / "journals")
    usual, sounds = made.stage.wishes, tuple(map(recording, SAID))
    monkeypatch.setattr(made.stage, "wishes", lambda told: replace(usual(told), replies=sounds))
    made.open()
    yield made
    made.close()


def look(browser: Any, opened: OpenPage) -> Any:
    page = browser.new_context(viewport=DESK).new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(opened.address)
    page.wait_for_selector("#groups button")
    return page


def watch(page: Any) -> None:
    """Note every outcome that the page shows from now on."""
    page.evaluate(
        """() => {
        window.seen = [];
        const text = (id) => document.getElementById(id).textContent;
        new MutationObserver(() => {
          const now = ["challenge", "verdict", "sentence", "heard"].map(text).join(" | ");
          if (window.seen[window.seen.length - 1] !== now) window.seen.push(now);
        }).observe(document.getElementById("ask"), {subtree: true, childList: true,
          characterData: true, attributes: true});
        }"""
    )


def test_heard_verdict_and_held_are_shown_as_they_are_kept(
    browser: Any, opened: OpenPage, tmp_path: Path
) -> None:
    """ "Off" for "on" is a mismatch, talk moves nothing, and both tabs show the same."""
    page = look(browser, opened)
    other = page.context.new_page()
    other.goto(f"{opened.address.partition('#')[0]}#/session")
    other.wait_for_selector("#nothing:visible")
    watch(page)
    page.click("#groups button.name:has-text('Two items')")
    page.wait_for_selector("#outcome.mismatch")
    assert "off" in page.inner_text("#outcome")
    assert "Parking brake" in page.inner_text("#challenge")
    assert violations(page, axe) == []
    page.wait_for_selector("#challenge:has-text('Two items complete')")
    other.wait_for_selector("#challenge:has-text('Two items complete')")
    seen = "\n".join(page.evaluate("window.seen"))
    assert "Parking brake? | ✗ Mismatch" in seen
    assert "Avionics master?" in seen
    (journal,) = (tmp_path / "journals").glob("*.jsonl")
    records = read_journal(journal).records
    replied = [one for one in records if isinstance(one, r.Replied)]
    assert {one.utterance.source for one in replied} == {ReplySource.VOICE}
    verdicts = [(one.item_id, one.verdict) for one in replied]
    assert verdicts[0] == ("brake", Verdict.MISMATCH)
    assert verdicts[-2:] == [("brake", Verdict.MATCH), ("avionics", Verdict.MATCH)]
    matched = [one for one in verdicts if one[1] is Verdict.MATCH]
    assert len(matched) == 2, "nothing else was accepted"
    page.click("#after >> text=Debrief it")
    page.wait_for_selector("#debrief-lines li:has-text('Two items')")


def test_keys_and_buttons_hold_while_it_listens(
    browser: Any, opened: OpenPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Held by a key in one tab, continued by a button in the other; the reply counts after it."""
    gate = threading.Event()
    from callout.hearing import played

    usual = played.WavSource

    def waiting(*args: Any, **more: Any) -> Any:
        gate.wait(60)
        return usual(*args, **more)

    monkeypatch.setattr(played, "WavSource", waiting)
    page = look(browser, opened)
    other = page.context.new_page()
    other.goto(f"{opened.address.partition('#')[0]}#/session")
    page.click("#how-part summary")
    page.check("#how input[name=silent]")
    page.click("#groups button.name:has-text('Two items')")
    challenge(page, "Parking brake?")
    page.wait_for_timeout(600)
    page.keyboard.press("Space")
    challenge(other, "Holding at Parking brake")
    assert "Holding" in page.inner_text("#doing")
    other.wait_for_timeout(600)
    other.click("#controls >> text=continue")
    challenge(page, "Parking brake?")
    gate.set()
    page.wait_for_selector("#challenge:has-text('Two items complete')")


def test_a_list_is_begun_by_its_name(
    browser: Any, opened: OpenPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Off until pressed; the name of a list opens it, and the page goes there by itself."""
    room = Room()
    monkeypatch.setattr(calling, "LAPSES_S", 600.0)  # the rules take their time on a busy machine
    monkeypatch.setattr(opened.calling, "_ears", Ears(source=room.source, say=lambda words: None))
    page = look(browser, opened)
    assert "microphone is off" in page.inner_text("#call")
    assert room.opened == 0
    page.focus("#call-on")
    page.keyboard.press("Enter")
    page.wait_for_selector("#call-now:has-text('Listening')")
    assert page.get_attribute("#call-on", "aria-pressed") == "true"
    assert violations(page, axe) == []
    opened.calling._do(AskMeant("two", "too items checklist"))
    page.wait_for_selector("#call-question button:has-text('Yes')")
    assert violations(page, axe) == [], "a question"
    page.click("#call-question >> text=No")
    page.wait_for_selector("#call-question", state="hidden")
    page.wait_for_selector("#call-now:has-text('Listening')")
    room.said.append(speaker()("two items checklist"))
    challenge(page, "Parking brake?")
    page.wait_for_selector("#challenge:has-text('Two items complete')")
    assert page.url.endswith("#/session")
    page.click("#after >> text=Choose another list")
    page.wait_for_selector("#call-now:has-text('Listening')")
    page.click("#call-on")
    page.wait_for_selector("#call-now:has-text('microphone is off')")
    assert room.open == 0


@pytest.mark.skipif(not usable(), reason="PulseAudio with its ALSA plugin is needed")
def test_a_list_is_run_by_voice_through_a_device(browser: Any, tmp_path: Path) -> None:
    """A person who is not answered says it again; a restart in the middle loses no place."""
    folder = tmp_path / "server"
    folder.mkdir()
    server = SoundServer(folder)
    server.start()
    a_list(tmp_path)
    (tmp_path / "settings.toml").write_text('[hearing]\nmicrophone = "room"\n')
    app = App(tmp_path, environment=server.environment)
    try:
        page = enter(browser.new_context(viewport=DESK), app)
        page.click("#groups button.name:has-text('Two items')")
        say(server, page, "human/off", "#outcome.mismatch", tmp_path)
        say(server, page, "demo/on-1", "#challenge:has-text('Avionics')", tmp_path)
        app.kill()
        page.wait_for_selector("body.stale")
        app.start()
        page.wait_for_selector("body:not(.stale)")
        page.goto(f"{app.root}#/lists")
        page.click("#unfinished button")
        page.wait_for_selector("#challenge:has-text('Avionics')", timeout=PATIENCE_MS)
        done = "#challenge:has-text('Two items complete')"
        say(server, page, "human/off", done, tmp_path)
    finally:
        app.close()
        server.stop()


def say(server: SoundServer, page: Any, name: str, until: str, folder: Path) -> None:
    """Say something in the room whenever it listens, until the page shows what is waited for."""
    raw = folder / f"{name.replace('/', '-')}.raw"
    raw.write_bytes(read_wav(recording(name)).tobytes())
    for _ in range(20):
        page.wait_for_selector("body[data-doing=listening]", timeout=PATIENCE_MS)
        playing: subprocess.Popen[bytes] = server.play_into_room(raw, 16_000)
        playing.wait()
        try:
            page.wait_for_selector(until, timeout=5_000)
        except playwright.TimeoutError:
            continue
        return
    raise AssertionError(page.inner_text("body"))
