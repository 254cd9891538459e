"""The glance page in a real browser: accessible, the same for two, and there again after a break.

Rules: WCAG 2.2 A and AA as axe-core checks them; target size 2.5.8, focus 2.4.7, reflow 1.4.10.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.web.axe_rules import RULES
from tests.web.live_kit import Live, free_port

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]

TABLET = {"width": 1180, "height": 820}


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        args = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        made = driver.chromium.launch(executable_path=CHROMIUM, args=args)
        yield made
        made.close()


@pytest.fixture
def live(tmp_path: Path) -> Iterator[Live]:
    made = Live(tmp_path, free_port())
    yield made
    made.close()


@pytest.fixture
def page(browser: Any, live: Live) -> Iterator[Any]:
    context = browser.new_context(viewport=TABLET, color_scheme="dark")
    made = enter(context, live)
    yield made
    context.close()


def enter(context: Any, live: Live) -> Any:
    """Return a page that has used the code."""
    page = context.new_page()
    page.goto(live.address)
    page.wait_for_selector("#challenge:not(:empty)")
    return page


def challenge(page: Any, words: str) -> None:
    """Wait until the page shows ``words`` as its challenge."""
    page.wait_for_function(
        "words => document.getElementById('challenge').textContent === words", arg=words
    )


def text(page: Any, name: str) -> str:
    return str(page.inner_text(f"#{name}"))


def violations(page: Any) -> list[str]:
    """Return what axe-core finds in dark and in light."""
    found = []
    for scheme in ("dark", "light"):
        page.emulate_media(color_scheme=scheme)
        response = axe.Axe().run(page, options=RULES).response
        assert len(response["passes"]) > 10, "the rules were not run"
        for rule in response["violations"]:
            where = [node["html"] for node in rule["nodes"]]
            found.append(f"{scheme}: {rule['id']}: {rule['help']}: {where}")
    return found


def test_no_violation_at_the_door(browser: Any, live: Live) -> None:
    page = browser.new_context(viewport=TABLET).new_page()
    page.goto(live.address.partition("#")[0])
    page.wait_for_selector("#door:not([hidden])")
    assert violations(page) == []
    page.fill("#code", "wrong")
    page.click("#enter button")
    page.wait_for_selector("#refused:not(:empty)")
    assert violations(page) == []
    page.fill("#code", live.address.partition("#")[2].lower())
    page.click("#enter button")
    challenge(page, "Beacon?")
    page.context.close()


def test_no_violation_in_any_state(page: Any, live: Live) -> None:
    challenge(page, "Beacon?")
    assert violations(page) == [], "item"
    live.type("off")
    page.wait_for_selector("#outcome.mismatch")
    assert "Mismatch" in text(page, "verdict")
    assert violations(page) == [], "mismatch"
    live.type("banana")
    page.wait_for_selector("#outcome.unclear")
    live.type("banana")
    page.wait_for_selector("#choices button")
    assert violations(page) == [], "unclear, with replies to choose from"
    live.type("on")
    challenge(page, "Fuel pump?")
    assert "critical" in text(page, "place")
    assert violations(page) == [], "critical item with a caution"
    page.click("#controls >> text=hold")
    challenge(page, "Holding at Fuel pump")
    assert violations(page) == [], "hold"
    page.click("#controls >> text=continue")
    challenge(page, "Fuel pump?")
    page.click("#controls >> text=skip")
    challenge(page, "Skip: why?")
    assert violations(page) == [], "question"
    page.click("#choices >> text=inoperative")
    challenge(page, "Altimeter setting?")
    page.click("#controls >> text=help")
    page.wait_for_selector("#lines li")
    assert violations(page) == [], "help"
    for line in ("one zero one three", "closed and locked", "flaps five"):
        live.type(line)
    page.wait_for_selector("body.over")
    assert "complete" in text(page, "lines")
    assert violations(page) == [], "completion"


def test_no_violation_when_the_connection_is_lost(page: Any, live: Live) -> None:
    live.kill()
    page.wait_for_selector("body.stale")
    assert "Connection lost" in text(page, "stale")
    assert page.is_disabled("#controls >> text=hold")
    assert violations(page) == []


def test_two_viewers_see_the_same(browser: Any, page: Any, live: Live) -> None:
    live.wait_for(r"(?s)Glance page.*Glance page")  # the code for the second device
    other_context = browser.new_context(viewport={"width": 390, "height": 844})
    other = enter(other_context, live)
    for line in ("off", "on", "banana"):
        live.type(line)
    for seen in (page, other):
        challenge(seen, "Fuel pump?")
        seen.wait_for_selector("#outcome.unclear")
    for name in ("title", "count", "doing", "place", "verdict", "sentence", "rows"):
        assert text(page, name) == text(other, name)
    other.click("#controls >> text=hold")
    challenge(page, "Holding at Fuel pump")
    other_context.close()


def test_it_finds_the_session_again_after_a_kill_and_a_resume(
    page: Any, live: Live, tmp_path: Path
) -> None:
    live.type("on")
    challenge(page, "Fuel pump?")
    port = int(live.address.rpartition(":")[2].partition("/")[0])
    live.kill()
    page.wait_for_selector("body.stale")
    again = Live(tmp_path, port, resume=True)
    try:
        page.wait_for_selector("body:not(.stale)")
        challenge(page, "Fuel pump?")
        assert "1 of 5 done" in text(page, "count")
        page.fill("#line", "on")
        page.press("#line", "Enter")
        challenge(page, "Altimeter setting?")
    finally:
        again.close()


def test_a_dropped_network_is_told_and_mended(page: Any, live: Live) -> None:
    page.context.set_offline(True)
    live.process.send_signal(__import__("signal").SIGSTOP)
    page.wait_for_selector("body.stale", timeout=20_000)
    live.process.send_signal(__import__("signal").SIGCONT)
    page.context.set_offline(False)
    page.wait_for_selector("body:not(.stale)")
    live.type("on")
    challenge(page, "Fuel pump?")


def test_everything_comes_from_this_machine_and_nothing_complains(browser: Any, live: Live) -> None:
    context = browser.new_context(viewport=TABLET)
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(live.address)
    challenge(page, "Beacon?")
    live.type("on")
    challenge(page, "Fuel pump?")
    root = live.address.partition("#")[0]
    assert len(asked) >= 4
    assert all(url.startswith(root) for url in asked)
    assert said == []
    assert page.url == root, "the code stays in the address"
    assert page.evaluate("document.cookie") == ""
    context.close()


def test_large_enough_for_two_metres(page: Any, live: Live) -> None:
    """Letters of 16 minutes of arc and more at two metres, on a tablet 226 mm wide.

    ISO 9241-303 asks for at least 16 minutes, and gives 20 to 22 as best (from memory).
    """
    challenge(page, "Beacon?")
    live.type("off")
    page.wait_for_selector("#outcome.mismatch")
    for size in (TABLET, {"width": 820, "height": 1180}, {"width": 1920, "height": 1080}):
        page.set_viewport_size(size)
        page.wait_for_function("width => innerWidth === width", arg=size["width"])
        assert _minutes(page, "challenge") >= 20
        assert _minutes(page, "verdict") >= 12


def _minutes(page: Any, name: str) -> float:
    """Return the angle of a capital letter at two metres, in minutes of arc."""
    style = "name => parseFloat(getComputedStyle(document.getElementById(name)).fontSize)"
    capital = 0.72  # of the type size
    millimetres = float(page.evaluate(style, name)) * capital * 226 / 1180
    return millimetres / 2000 * 3437.75


def test_targets_are_large_and_nothing_scrolls_sideways(page: Any) -> None:
    """44 by 44 pixels (2.5.5, AAA; 2.5.8 asks for 24); no second scroll direction at 320."""
    challenge(page, "Beacon?")
    for width in (320, 390, 820, 1180, 1920):
        page.set_viewport_size({"width": width, "height": 820})
        seen = page.query_selector_all("#session button, #session input")
        shown = [box for box in (b.bounding_box() for b in seen) if box]
        assert len(shown) >= 10
        assert all(box["width"] >= 44 and box["height"] >= 44 for box in shown)
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_keyboard_alone_is_enough_and_focus_is_seen(page: Any) -> None:
    challenge(page, "Beacon?")
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "hold":
            break
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("Space")
    challenge(page, "Holding at Beacon")
    assert page.evaluate("document.activeElement.tagName") == "BUTTON", "focus is kept"
    for _ in range(20):
        if page.evaluate("document.activeElement.textContent") == "continue":
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    challenge(page, "Beacon?")


def test_a_screen_reader_is_told_what_happens(page: Any, live: Live) -> None:
    live.type("off")
    page.wait_for_selector("#news p:has-text('Mismatch')", state="attached")
    news = page.locator("#news")
    assert news.get_attribute("aria-live") == "polite"
    said = news.all_text_contents()[0]
    assert "Beacon?" in said
    assert page.locator("#rows [aria-current=step]").count() == 1


def test_no_motion_where_it_is_not_wanted(page: Any) -> None:
    page.evaluate("document.body.dataset.doing = 'listening'")
    moving = "getComputedStyle(document.querySelector('#doing .sign')).animationName"
    assert page.evaluate(moving) == "breathe"
    page.emulate_media(reduced_motion="reduce")
    assert page.evaluate(moving) == "none"


def test_what_stands_in_a_list_is_text_and_nothing_else(page: Any, live: Live) -> None:
    live.type("<img src=x onerror=document.title='taken'><b>on</b>")
    page.wait_for_selector("#outcome.unclear")
    assert "<b>on</b>" in text(page, "heard")
    assert page.locator("#session img, #session b").count() == 0
    time.sleep(0.1)
    assert page.title() != "taken"
