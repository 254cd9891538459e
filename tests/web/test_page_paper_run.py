"""From a photographed card to a finished list, by the keyboard alone, on the page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from callout.bench.cards.lines import CardText
from callout.bench.cards.photographing import Camera, drawn_pdf, take_photo
from callout.bench.cards.set_lines import SetLine
from callout.bench.cards.set_sheet import Setting
from callout.bench.cards.setting import set_card
from tests.web.app_kit import (
    CHROMIUM,
    DESK,
    App,
    challenge,
    chromium,
    complaints,
    enter,
    reply,
    typed_and_silent,
)

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
ITEMS = (("BEACON", "ON"), ("DOORS", "LOCKED"), ("FUEL", "____ KG"), ("FLAPS", "UP"))
STRANGE = "DO NOT SMOKE NEAR THE TANKS"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium(playwright) as made:
        yield made


@pytest.fixture
def page(browser: Any, tmp_path: Path) -> Iterator[Any]:
    app = App(tmp_path)
    context = browser.new_context(viewport=DESK)
    made = enter(context, app)
    yield made
    assert complaints(made) == []
    context.close()
    app.close()


def a_photo(into: Path) -> Path:
    for name in ("fpdf", "pypdfium2", "rapidocr", "cv2"):
        pytest.importorskip(name)
    lines = [SetLine("title", "BEFORE TAXI CHECKLIST")]
    lines += [SetLine("item", challenge, response) for challenge, response in ITEMS]
    pdf = set_card(CardText("BEFORE TAXI", tuple(lines)), Setting(size=15))
    file = into / "card.jpg"
    file.write_bytes(take_photo(drawn_pdf(pdf), Camera(tilt=1.2, blur=0.4, noise=2), 5))
    return file


def test_a_photo_becomes_a_list_that_is_run_to_its_end(page: Any, tmp_path: Path) -> None:
    """A value that nobody gave is stated while the list is held, as the page says."""
    page.click("a:has-text('New list')")
    page.set_input_files("#brought", str(a_photo(tmp_path)))
    page.click("#bring button")
    page.wait_for_selector("#guesses .guess", timeout=120_000)
    shown = page.eval_on_selector_all("#guesses input", "all => all.map(one => one.value)")
    assert [words for words in shown if words in ("Beacon", "Doors", "Fuel", "Flaps")] == [
        "Beacon", "Doors", "Fuel", "Flaps",
    ]  # fmt: skip
    while page.locator("#guesses .question").count():
        left = page.locator("#guesses .question").count()
        page.locator("#guesses .question button").first.press("Enter")
        page.wait_for_function(
            "n => document.querySelectorAll('#guesses .question').length < n", arg=left
        )
    page.fill("#finish-title", "From a photo")
    page.press("#finish-title", "Enter")
    page.wait_for_selector("#items button")
    page.goto(f"{page.url.partition('#')[0]}#/lists")
    page.wait_for_selector("#groups button")
    typed_and_silent(page)
    page.locator("#groups button.name:has-text('From a photo')").press("Enter")
    answer(page, "Beacon?", "on")
    answer(page, "Doors?", "locked")
    challenge(page, "Fuel?")
    reply(page, "900")
    page.wait_for_selector("#outcome:has-text('Hold and state it')")
    for words, seen in (("hold", "Holding"), ("fuel is 900 kilograms", "900 kg"), ("continue", "")):
        reply(page, words)
        page.wait_for_selector(f"#outcome:has-text('{seen or 'Continuing'}')")
    reply(page, "800 kilograms")
    page.wait_for_selector("#outcome.mismatch")
    reply(page, "900 kilograms")
    answer(page, "Flaps?", "up")
    page.wait_for_selector("#after a:has-text('Debrief it')")


def answer(page: Any, asked: str, words: str) -> None:
    """Reply to ``asked`` when it is asked."""
    challenge(page, asked)
    reply(page, words)


def test_words_that_are_in_no_item_are_shown(page: Any, tmp_path: Path) -> None:
    """They stand open under the items, not in a part that one has to unfold."""
    file = tmp_path / "card.csv"
    file.write_text(f"Item,Response,Smoking\nBeacon,On,\nFuel,Checked,{STRANGE}\n")
    page.click("a:has-text('New list')")
    page.set_input_files("#brought", str(file))
    page.click("#bring button")
    page.wait_for_selector("#not-placed:visible")
    told = page.inner_text("#not-placed").casefold()
    assert all(word in told for word in STRANGE.casefold().split())
