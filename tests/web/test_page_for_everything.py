"""The page for everything in a real browser: choose, run, look back; two tabs, restart, hostility.

Rules: WCAG 2.2 A and AA as axe-core checks them; target size 2.5.8, focus 2.4.7, reflow 1.4.10.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.web.app_kit import (
    CHROMIUM,
    DESK,
    PHONE,
    TABLET,
    App,
    challenge,
    chromium,
    complaints,
    enter,
    fits,
    reply,
    run_list,
    typed_and_silent,
    violations,
)

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium(playwright) as made:
        yield made


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    made = App(tmp_path)
    yield made
    made.close()


@pytest.fixture
def page(browser: Any, app: App) -> Iterator[Any]:
    context = browser.new_context(viewport=DESK)
    made = enter(context, app)
    yield made
    assert complaints(made) == []
    context.close()


def test_from_the_first_look_to_a_debrief_without_a_terminal(page: Any, app: App) -> None:
    """Every view on the way, in dark and light, on three screens."""
    assert page.is_visible("#first")
    assert violations(page, axe) == [], "lists"
    for size in (DESK, TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    page.click("#ways >> text=Session")
    page.wait_for_selector("#nothing:not([hidden])")
    assert violations(page, axe) == [], "no session"
    run_list(page)
    challenge(page, "Beacon?")
    for size in (DESK, TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    page.set_viewport_size(DESK)
    assert page.evaluate("document.activeElement.id") == "line", "one can type at once"
    assert violations(page, axe) == [], "an item"
    reply(page, "off")
    page.wait_for_selector("#outcome.mismatch")
    assert violations(page, axe) == [], "mismatch"
    for words in ("on", "on", "one zero one three", "closed and locked", "flaps five"):
        before = page.inner_text("#challenge")
        reply(page, words)
        page.wait_for_function(
            "b => document.getElementById('challenge').textContent !== b", arg=before
        )
        if "Anti-ice" in page.inner_text("#challenge"):
            reply(page, "on")
    page.wait_for_selector("#after a")
    assert violations(page, axe) == [], "over"
    assert fits(page) == []
    page.click("#after >> text=Debrief it")
    page.wait_for_selector("#debrief-lines li:has-text('Line-up')")
    page.frame_locator("#debrief-page").locator("h1").wait_for()
    assert violations(page, axe) == [], "debrief"
    page.click("#ways >> text=Debriefs")
    page.wait_for_selector("#sessions li")
    assert violations(page, axe) == [], "sessions"
    page.click("#ways >> text=Trends")
    page.frame_locator("#trends-page").locator("h1").wait_for()
    assert violations(page, axe) == [], "trends"
    for size in (TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    assert len(list((app.folder / "journals").glob("*.jsonl"))) == 1


def test_sound_check_drills_and_settings(page: Any, app: App) -> None:
    """In dark and light, on three screens; a machine without sound is told what to do."""
    for way, ready in (
        ("Drills", "#picks li"),
        ("Sound check", "#device option"),
        ("Settings", ".setting"),
    ):
        page.set_viewport_size(DESK)
        page.click(f"#ways >> text={way}")
        page.wait_for_selector(ready, state="attached")
        assert violations(page, axe) == [], way
        for size in (DESK, TABLET, PHONE):
            page.set_viewport_size(size)
            assert fits(page) == [], (way, size)
    page.fill("[id='set-pacing.silence']", "99999")
    page.keyboard.press("Tab")
    page.wait_for_selector("#trouble:has-text('0 to 3600')")
    assert page.input_value("[id='set-pacing.silence']") == "8", "what was refused is not shown"
    page.fill("[id='set-pacing.silence']", "12")
    page.keyboard.press("Tab")
    page.wait_for_selector(".setting:has-text('Saved.')")
    assert "silence = 12" in (app.folder / "settings.toml").read_text()
    page.click("#ways >> text=Sound check")
    page.click("#examine")
    page.wait_for_selector("#machine li")
    assert violations(page, axe) == [], "what the machine has"


def test_a_drill_is_begun(page: Any) -> None:
    typed_and_silent(page)
    page.click("#ways >> text=Drills")
    page.wait_for_selector("#picks li")
    page.click("text=Start the drill")
    page.wait_for_selector("#place:has-text('Exercise 1')")
    reply(page, "not known")
    page.wait_for_selector("#place:has-text('Exercise 2')")


def test_a_list_is_found_by_the_beginnings_of_its_words(page: Any) -> None:
    page.fill("#sought", "lin up")
    page.wait_for_selector("#found:has-text('found')")
    titles = page.locator("#groups button.name").all_inner_texts()
    assert "Line-up checklist" in titles
    assert all("line" in title.lower() for title in titles)
    page.fill("#sought", "zzz")
    assert page.inner_text("#found") == "0 lists found."


def test_keys_on_an_empty_reply_line_are_the_controls(page: Any) -> None:
    run_list(page)
    challenge(page, "Beacon?")
    page.keyboard.press("Space")
    challenge(page, "Holding at Beacon")
    page.wait_for_timeout(500)  # a key pressed for what was asked before counts for nothing
    page.keyboard.press("Space")
    challenge(page, "Beacon?")
    page.keyboard.type("o f")
    assert page.input_value("#line") == "o f", "within words a space is a space"
    page.fill("#line", "")
    page.keyboard.press(";")
    challenge(page, "Fuel pump?")
    assert "Beacon" in page.inner_text("#deferred")


def test_a_flight_is_run_list_by_list(page: Any) -> None:
    typed_and_silent(page)
    part = page.locator("section.group", has=page.locator("h2:has-text('Sandling Two')"))
    part.locator("text=Fly").click()
    page.wait_for_selector("#rows li")
    reply(page, "before start checklist")
    challenge(page, "Out of order. Run it anyway?")
    assert violations(page, axe) == []
    reply(page, "yes")
    page.wait_for_selector("#title:has-text('Before start')")


def test_two_tabs_are_one_session_and_only_one_is_begun(browser: Any, page: Any, app: App) -> None:
    run_list(page)
    other_page = enter(page.context, app)
    challenge(other_page, "Beacon?")
    other_page.click("#ways >> text=Lists")
    other_page.wait_for_selector("#groups button")
    other_page.click("#groups button.name >> nth=1")
    other_page.wait_for_selector("#trouble:has-text('A session is running.')")
    other_page.click("#ways >> text=Session")
    challenge(other_page, "Beacon?")
    reply(other_page, "on")
    challenge(page, "Fuel pump?")


def test_a_list_that_runs_is_interrupted_from_the_lists_and_continued(page: Any) -> None:
    """What was asked last is no longer on the screen, and how it ended is not cut off."""
    run_list(page)
    reply(page, "on")
    challenge(page, "Fuel pump?")
    page.click("#ways >> text=Lists")
    page.wait_for_selector("#running:has-text('Line-up checklist is open')")
    assert violations(page, axe) == []
    page.click("#running >> text=Interrupt it")
    page.wait_for_selector("#unfinished:has-text('was interrupted: today')")
    page.click("#ways >> text=Session")
    page.wait_for_selector("#challenge:has-text('Interrupted')")
    assert not page.is_visible("#controls")
    for size in (DESK, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
        page.wait_for_function(
            "() => document.getElementById('challenge').scrollWidth"
            " <= document.getElementById('room').clientWidth"
        )
    page.click("#after >> text=Choose another list")
    page.click("#unfinished button")
    challenge(page, "Fuel pump?")


def test_after_a_kill_the_page_says_so_comes_back_and_goes_on(page: Any, app: App) -> None:
    run_list(page)
    reply(page, "on")
    challenge(page, "Fuel pump?")
    app.kill()
    page.wait_for_selector("body.stale")
    assert "Connection lost" in page.inner_text("#stale")
    assert violations(page, axe) == []
    app.start()
    page.wait_for_selector("body:not(.stale) #nothing:not([hidden])")
    page.click("#ways >> text=Lists")
    page.click("#unfinished button")
    challenge(page, "Fuel pump?")
    assert "1 of" in page.inner_text("#count")


def test_the_program_is_gone_and_a_click_says_so(page: Any, app: App) -> None:
    app.kill()
    page.wait_for_selector("body.stale")
    page.click("#groups button.name >> nth=0")
    page.wait_for_selector("#trouble:has-text('does not answer')")
    app.start()
    page.wait_for_selector("body:not(.stale)")


def test_what_stands_in_a_list_is_text_and_nothing_else(page: Any, app: App) -> None:
    text = (app.lists / "line-up.yaml").read_text()
    bad = "<img src=x onerror=document.title='taken'>"
    (app.lists / "bad.yaml").write_text(
        text.replace("title: Line-up checklist", f'title: "{bad} list"')
        .replace("id: line-up", "id: bad")
        .replace("challenge: Beacon", f'challenge: "{bad}"')
    )
    (app.lists / "broken.yaml").write_text("callout: [<script>alert(1)</script>")
    page.reload()
    page.wait_for_selector("#groups >> text=onerror")
    assert "broken.yaml" in page.inner_text("#groups")
    assert violations(page, axe) == []
    typed_and_silent(page)
    page.click("#groups button.name:has-text('onerror') >> nth=0")
    page.wait_for_selector("#challenge:has-text('onerror')")
    assert page.locator("#session img, #groups img, #groups script").count() == 0
    assert "taken" not in (page.title().partition("<")[0])


def test_everything_comes_from_this_machine(browser: Any, app: App) -> None:
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(app.address)
    page.wait_for_selector("#groups button")
    page.goto(f"{app.root}#/trends")
    page.wait_for_selector("#trends-said:has-text('no sessions')")
    assert len(asked) > 6
    assert all(url.startswith(app.root) for url in asked)
    assert page.evaluate("document.cookie") == ""
    assert app.address.rpartition("#")[2] not in page.url
    context.close()


def test_the_door(browser: Any, app: App) -> None:
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    page.goto(app.root)
    page.wait_for_selector("#door:not([hidden])")
    assert not page.is_visible("#ways")
    assert violations(page, axe) == []
    page.fill("#code", app.address.rpartition("#")[2])
    page.click("#enter button")
    page.wait_for_selector("#groups button")
    context.close()


def test_the_keyboard_alone_is_enough_and_focus_is_seen(page: Any) -> None:
    typed_and_silent(page)
    page.focus("#sought")
    page.keyboard.type("line-up checklist")
    page.keyboard.press("Tab")
    for _ in range(4):
        if page.evaluate("document.activeElement.textContent") == "Line-up checklist":
            break
        page.keyboard.press("Tab")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    challenge(page, "Beacon?")
    page.wait_for_function("() => document.activeElement.id === 'line'")
    page.keyboard.type("on")
    page.keyboard.press("Enter")
    challenge(page, "Fuel pump?")
    for words in ("on", "one zero one three", "closed and locked", "flaps five"):
        before = page.inner_text("#challenge")
        page.keyboard.type(words)
        page.keyboard.press("Enter")
        page.wait_for_function(
            "b => document.getElementById('challenge').textContent !== b", arg=before
        )
        if "Anti-ice" in page.inner_text("#challenge"):
            page.keyboard.type("on")
            page.keyboard.press("Enter")
    page.wait_for_function("() => document.activeElement.textContent === 'Debrief it'")
    page.keyboard.press("Enter")
    page.wait_for_selector("#debrief-lines li:has-text('Line-up')")
    assert page.evaluate("document.activeElement.textContent") == "Debrief"
