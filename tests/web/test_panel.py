"""The panel in a real browser, over a simulated aircraft in a process of its own.

Rules: WCAG 2.2 A and AA as axe-core checks them; target size 2.5.8.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from callout.app.running.panel_demo import panel_of
from callout.app.running.wishes import GlanceWish, Wishes
from callout.web.panel import PanelHub
from tests.web.axe_rules import RULES
from tests.web.live_kit import free_port

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
SIZES = {"desk": (1280, 800), "tablet": (820, 1180)}


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + 60.0
    while not true():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.05)


@pytest.fixture(scope="module")
def session() -> Iterator[Any]:
    with panel_of("sandling-two", Wishes(), GlanceWish(port=free_port())) as shown:
        yield shown


@pytest.fixture(scope="module")
def state(session: Any) -> Any:
    stream = session.state_source.feed
    until(lambda: "beacon" in stream.stream.board.values)
    return lambda name: stream.stream.board.values.get(name)


@pytest.fixture(scope="module", params=SIZES)
def page(request: pytest.FixtureRequest, session: Any, state: Any) -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        args = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=args)
        width, height = SIZES[request.param]
        context = browser.new_context(
            viewport={"width": width, "height": height}, has_touch=request.param == "tablet"
        )
        made = context.new_page()
        made.goto(session.shared.where().rpartition(": ")[2])
        made.wait_for_selector("#panels section")
        folder = os.environ.get("CALLOUT_PICTURES")
        if folder:
            made.screenshot(path=f"{folder}/panel-{request.param}.png", full_page=True)
        yield made
        browser.close()


def _way(page: Any, name: str, position: str) -> Any:
    return page.locator(f"input[name={name}][value='{position}']")


def test_a_press_moves_the_aircraft_and_the_page_shows_what_it_tells(page: Any, state: Any) -> None:
    for position in ("on", "off"):
        _way(page, "beacon", position).click(force=True)
        until(lambda wanted=position: state("beacon") == wanted)  # type: ignore[misc]
        until(lambda wanted=position: _way(page, "beacon", wanted).is_checked())  # type: ignore[misc]


def test_the_keyboard_alone_will_do(page: Any, state: Any) -> None:
    _way(page, "cowl_flaps", "closed").click(force=True)
    until(lambda: state("cowl_flaps") == "closed")
    _way(page, "cowl_flaps", "closed").focus()
    page.keyboard.press("ArrowRight")
    until(lambda: state("cowl_flaps") == "half-open")


def test_a_knob_turns_and_a_gauge_follows(page: Any, state: Any) -> None:
    before = state("altimeter")
    page.get_by_role("button", name="Raise altimeter setting").click()
    until(lambda: state("altimeter") == before + 1)
    _way(page, "flap_lever", "25").click(force=True)
    until(lambda: state("flap_angle") > 20)
    _way(page, "flap_lever", "10").click(force=True)
    until(lambda: state("flap_angle") == 10)


def test_axe_finds_nothing_in_dark_and_in_light(page: Any) -> None:
    found = []
    for scheme in ("dark", "light"):
        page.emulate_media(color_scheme=scheme)
        response = axe.Axe().run(page, options=RULES).response
        assert len(response["passes"]) > 10, "the rules were not run"
        found += [f"{scheme}: {v['id']}: {v['nodes'][0]['html']}" for v in response["violations"]]
    assert found == []


@pytest.mark.parametrize(
    "told",
    [
        None, [], {}, {"move": "beacon"}, {"move": "beacon", "to": "up"}, {"move": "x", "to": "on"},
        {"move": "beacon", "to": 1}, {"move": "suction", "to": "5"},
        {"move": "altimeter", "to": "x"},
        {"move": "altimeter", "to": "NaN"}, {"move": "altimeter", "to": "1" * 99},
        {"move": "beacon", "to": "on", "for": "x"}, {"move": ["beacon"], "to": "on"},
    ],
)  # fmt: skip
def test_what_no_panel_sends_orders_nothing(told: object) -> None:
    orders: list[str] = []
    shapes: list[Any] = [
        {"name": "beacon", "positions": ["off", "on"], "gauge": False},
        {"name": "altimeter", "positions": [], "gauge": False},
        {"name": "suction", "positions": [], "gauge": True},
    ]
    hub = PanelHub("x", shapes, lambda name, to: orders.append(name + to))
    assert not hub.take(told)
    assert hub.take({"move": "altimeter", "to": "1013"})
    assert orders == ["altimeter1013"]
