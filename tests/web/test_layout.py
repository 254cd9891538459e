"""The glance page at the sizes of desks, tablets and telephones: nothing needed is out of sight."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from callout.core.checklist_run.viewing import view_of
from callout.core.conversation.view_model import ViewModel
from callout.web.devices import Devices
from callout.web.hub import Hub
from callout.web.server import LOOPBACK, GlanceServer
from tests.core.session_kit import Desk, item, plan

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
SAFETY = (
    "For simulation, study and briefing only. The aircraft's approved manual, the operator's "
    "procedures and the licensed crew always rule."
)
SIZES = {"desk": (1280, 800), "old desk": (1024, 768), "tablet": (820, 1180), "phone": (390, 844)}
LIST = plan(
    items=(
        item("doors", "Doors", "closed and locked"),
        item("seats", "Seats and harnesses", "locked and fastened", "fastened", wrong=("loose",)),
    )
)
SAID: dict[str, tuple[str, ...]] = {
    "asked": (),
    "accepted": ("closed and locked",),
    "mismatch": ("closed and locked", "off"),
    "unclear": ("closed and locked", "?er", "?er"),
    "hold": ("hold",),
    "question": ("skip",),
}
BROKEN = """() => [...document.querySelectorAll("#controls button, #choices button")]
  .filter((button) => [...button.firstChild.textContent.matchAll(/\\S+/g)].some((word) => {
    const range = document.createRange();
    range.setStart(button.firstChild, word.index);
    range.setEnd(button.firstChild, word.index + word[0].length);
    return range.getClientRects().length > 1;
  }) || button.scrollWidth > button.clientWidth + 1).map((button) => button.textContent)"""


def view(said: tuple[str, ...]) -> ViewModel:
    desk = Desk(LIST).start()
    for words in said:
        desk.say(words.lstrip("?"), sure=not words.startswith("?"))
    return view_of(desk.state)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        args = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        made = driver.chromium.launch(executable_path=CHROMIUM, args=args)
        yield made
        made.close()


@pytest.fixture(scope="module", params=list(SAID))
def served(request: pytest.FixtureRequest) -> Iterator[tuple[str, Callable[[], str]]]:
    """Serve one screen; the address has the code of the moment, which lets one device in."""
    hub, devices = Hub(), Devices(None, time.time)
    hub.put(view=view(SAID[request.param]), safety=SAFETY)
    server = GlanceServer(hub, devices, LOOPBACK, 0)
    server.start()
    yield request.param, lambda: f"http://{LOOPBACK}:{server.port}/#{devices.code}"
    server.stop()


@pytest.mark.parametrize("size", list(SIZES))
def test_reply_box_verdict_and_challenge_are_in_sight(
    browser: Any, served: tuple[str, Callable[[], str]], size: str
) -> None:
    state, address = served
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.goto(address())
    page.wait_for_selector("#challenge:not(:empty)")
    boxes = {
        name: page.locator(f"#{name}").bounding_box() for name in ("challenge", "outcome", "line")
    }
    for name, box in boxes.items():
        if box is None:  # nothing came of anything yet
            assert (name, state) == ("outcome", "asked")
            continue
        assert box["y"] >= 0, name
        assert box["y"] + box["height"] <= height, f"{name} is below the window"
        assert box["x"] + box["width"] <= width, f"{name} is beside the window"
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(BROKEN) == []
    outcome = page.inner_text("#outcome")
    assert outcome.count("Heard") <= 1, outcome
    if state == "accepted":
        assert "Right" not in outcome
        assert outcome.startswith("Before:")
    context.close()
