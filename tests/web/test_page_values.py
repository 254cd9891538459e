"""The values of a flight as a form, in a real browser: what a list needs, without a word of YAML.

Rules: WCAG 2.2 A and AA as axe-core checks them; errors named in text beside the field, 3.3.1.
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
    typed_and_silent,
    violations,
)

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
LIST = """\
callout: 1
id: taxi
title: Taxi checklist
phase: taxi
method: challenge-and-response
complete: taxi checklist complete
items:
  - {id: altimeters, challenge: Altimeters, response: "{qnh}"}
  - {id: fuel, challenge: Fuel, response: "{fuel_total}"}
  - {id: code, challenge: Transponder, response: "{squawk}"}
  - {id: runway, challenge: Runway, response: "{runway}"}
  - {id: lights, challenge: Taxi light, response: on, when: night}
"""
FLIGHT = """\
# My own remarks stay here.
callout: 1
title: To the coast
aircraft: Little one
quantities:
  qnh: {kind: pressure, unit: hPa, name: altimeter setting, from: the tower}  # by radio
  fuel_left: {value: 40 kg, kind: mass, tolerance: 2, name: fuel in the left tank}
  fuel_right: 42 kg
  fuel_total: {value: fuel_left + fuel_right, kind: mass, name: fuel on board}
  squawk:
    kind: transponder
    digits: 4
words:
  runway: north
facts:
  night: {is: unknown, ask: "Is it night?"}
"""
OWN = "#/values/own%2Flittle/own%2Flittle%2Ftaxi.yaml"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium(playwright) as made:
        yield made


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "lists" / "little"
    made.mkdir(parents=True)
    (made / "taxi.yaml").write_text(LIST)
    (made / "flight.yaml").write_text(FLIGHT)
    return made


@pytest.fixture
def app(tmp_path: Path, folder: Path) -> Iterator[App]:
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


def form(page: Any, app: App) -> None:
    """Open the form."""
    page.goto(f"{app.root}{OWN}")
    page.wait_for_selector("#value-quantities-qnh")


def test_by_the_keyboard_from_the_lists_to_the_run(page: Any, app: App, folder: Path) -> None:
    """Filled in, saved and run; comments and order of the file stay."""
    typed_and_silent(page)
    page.locator("a:has-text('2 values to fill in')").press("Enter")
    page.wait_for_selector("#value-quantities-qnh")
    assert page.inner_text("label[for=value-quantities-qnh]") == "Altimeter setting"
    page.focus("#value-quantities-qnh")
    page.keyboard.type("1013")
    page.fill("#value-quantities-squawk", "0421")
    page.fill("#value-words-runway", "south")
    page.locator("#value-facts-night input[value=yes]").press("Space")
    page.press("#value-quantities-qnh", "Enter")
    page.wait_for_selector("#values-said:has-text('Saved: 4 values.')")
    told = (folder / "flight.yaml").read_text()
    kept = FLIGHT.replace("{kind: pressure", "{value: 1013 hPa, kind: pressure")
    kept = kept.replace("    kind: transponder", "    value: 0421\n    kind: transponder")
    assert told == kept.replace("north", "south").replace("is: unknown", "is: yes")
    assert "82 kg" in page.inner_text("#values-follow")
    page.locator("#values-run").press("Enter")
    for asked, words in (
        ("Altimeters?", "1013 hectopascals"), ("Fuel?", "82 kilograms"), ("Transponder?", "0421"),
        ("Runway?", "south"), ("Taxi light?", "on"),
    ):  # fmt: skip
        challenge(page, asked)
        reply(page, words)
    page.wait_for_selector("#after a:has-text('Debrief it')")


def test_errors_stand_beside_their_fields_and_nothing_is_saved(
    page: Any, app: App, folder: Path
) -> None:
    form(page, app)
    for name, words in (("qnh", "29,92"), ("fuel_left", "90 lb"), ("squawk", "1893")):
        page.fill(f"#value-quantities-{name}", words)
    page.click("#values-save")
    page.wait_for_selector("#values-faults li")
    assert page.locator("#values-faults li").count() == 3
    assert "without a comma" in page.inner_text("#value-quantities-qnh-wrong")
    assert "90 lb is 41 kg" in page.inner_text("#value-quantities-fuel_left-wrong")
    assert "0 to 7" in page.inner_text("#value-quantities-squawk-wrong")
    assert page.evaluate("document.activeElement.id") == "value-quantities-qnh"
    described = page.get_attribute("#value-quantities-qnh", "aria-describedby").split()
    assert "value-quantities-qnh-wrong" in described
    assert (folder / "flight.yaml").read_text() == FLIGHT
    assert violations(page, axe) == [], "with errors"
    for size in (DESK, TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size


def test_what_is_typed_outlives_the_page_and_the_program(page: Any, app: App) -> None:
    form(page, app)
    assert violations(page, axe) == []
    page.fill("#value-quantities-qnh", "1002")
    app.kill()
    app.start()
    page.reload()
    page.wait_for_selector("#values-said:has-text('1 value you typed before')")
    assert page.input_value("#value-quantities-qnh") == "1002"
    page.click("#values-undo")
    page.wait_for_selector("#values-said:has-text('discarded')")
    assert page.input_value("#value-quantities-qnh") == ""


def test_two_tabs_never_write_over_one_another_unasked(page: Any, app: App, folder: Path) -> None:
    form(page, app)
    other = page.context.new_page()
    form(other, app)
    other.fill("#value-quantities-qnh", "1009")
    other.fill("#value-quantities-squawk", "1200")
    other.click("#values-save")
    other.wait_for_selector("#values-said:has-text('Saved: 2')")
    page.fill("#value-quantities-qnh", "1013")
    page.fill("#value-quantities-fuel_left", "38")
    page.click("#values-save")
    page.wait_for_selector("#value-quantities-qnh-wrong:has-text('It is 1009 there now')")
    assert "value: 1009 hPa" in (folder / "flight.yaml").read_text()
    page.click("#values-save")
    page.wait_for_selector("#values-said:has-text('Saved: 2')")
    told = (folder / "flight.yaml").read_text()
    assert all(text in told for text in ("value: 1013 hPa", "value: 38 kg", "value: 1200"))


def test_a_list_that_names_a_value_gets_a_flight_file(page: Any, app: App, folder: Path) -> None:
    (folder / "flight.yaml").unlink()
    page.goto(f"{app.root}{OWN}")
    page.wait_for_selector("#value-quantities-qnh")
    page.fill("#value-quantities-qnh", "1013 hPa")
    page.click("#values-save")
    page.wait_for_selector("#values-said:has-text('Saved: 1 value.')")
    assert "qnh: 1013 hPa" in (folder / "flight.yaml").read_text()


def test_hostile_words_are_words(page: Any, app: App, folder: Path) -> None:
    form(page, app)
    page.fill("#value-words-runway", 'a"}: [{x: <img src=x onerror=alert(1)>')
    page.click("#values-save")
    page.wait_for_selector("#values-said:has-text('Saved: 1 value.')")
    assert page.input_value("#value-words-runway") == 'a"}: [{x: <img src=x onerror=alert(1)>'
    (folder / "flight.yaml").write_text("callout: 1\nquantities: [")
    page.reload()
    page.wait_for_selector("#trouble:has-text('The flight data cannot be read')")
