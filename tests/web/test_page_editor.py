"""The list editor in a real browser: nothing typed is lost, nothing is written over unasked."""

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
    violations,
)

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]
KEY = "#/edit/own%2Fmy-plane%2Fline-up.yaml"


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


def edit(page: Any, app: App) -> None:
    """Open the editor of one's own list."""
    page.goto(f"{app.root}{KEY}")
    page.wait_for_selector("#items button")


def type_over(page: Any, old: str, new: str) -> None:
    """Change the text as typing does."""
    text = page.input_value("#text")
    assert old in text
    page.fill("#text", text.replace(old, new))


def test_no_violation_and_findings_follow_what_is_typed(page: Any, app: App) -> None:
    edit(page, app)
    page.click("#items >> text=Beacon")
    page.fill("#tried", "off")
    page.press("#tried", "Enter")
    page.wait_for_selector("#tried-said.mismatch")
    assert violations(page, axe) == []
    type_over(page, "challenge: Beacon,", "")
    page.wait_for_selector("#findings .error")
    assert violations(page, axe) == [], "with an error"
    for size in (DESK, TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    page.click("#findings .error button")
    assert page.evaluate("document.activeElement.id") == "text"
    page.click("#undo")
    page.wait_for_selector("#findings-said:not(:has-text('error'))")
    page.click("#preview")
    page.frame_locator("#card-page").locator("text=Beacon").first.wait_for()
    assert violations(page, axe) == [], "with the card"


def test_what_is_typed_survives_a_reload_a_restart_and_another_view(page: Any, app: App) -> None:
    edit(page, app)
    type_over(page, "Beacon", "Strobe lights")
    page.reload()
    page.wait_for_selector("#items >> text=Strobe lights")
    assert "here again" in page.inner_text("#edit-said")
    app.kill()
    page.wait_for_selector("body.stale")
    type_over(page, "Fuel pump", "Boost pump")
    page.click("#save")
    page.wait_for_selector("#trouble:has-text('does not answer')")
    app.start()
    page.wait_for_selector("body:not(.stale)")
    page.click("#ways >> text=Settings")
    page.wait_for_selector(".setting")
    edit(page, app)
    assert "Boost pump" in page.input_value("#text")
    page.click("#save")
    page.wait_for_selector("#edit-said:has-text('Saved.')")
    text = (app.lists / "line-up.yaml").read_text()
    assert "Boost pump" in text
    assert "Strobe lights" in text
    page.reload()
    page.wait_for_selector("#items >> text=Strobe lights")
    assert page.inner_text("#edit-said") == ""


def test_a_change_on_the_disk_is_noticed_and_never_written_over(page: Any, app: App) -> None:
    edit(page, app)
    file = app.lists / "line-up.yaml"
    file.write_text(file.read_text().replace("Beacon", "Landing light"))
    page.wait_for_selector("#items >> text=Landing light")
    assert "changed on the disk" in page.inner_text("#edit-said")
    type_over(page, "Fuel pump", "Boost pump")
    file.write_text(file.read_text().replace("Doors", "Hatches"))
    page.wait_for_selector("#changed:not([hidden])")
    assert "Hatches" in page.inner_text("#changed")
    assert "Boost pump" in page.inner_text("#changed")
    assert violations(page, axe) == []
    page.click("#changed >> text=Take what is on the disk")
    page.wait_for_selector("#items >> text=Hatches")
    page.click("#edit-said >> text=Bring mine back")
    page.wait_for_selector("#items >> text=Boost pump")
    page.click("#save")
    page.wait_for_selector("#edit-said:has-text('Saved.')")
    assert "Boost pump" in file.read_text()


def test_two_tabs_do_not_overwrite_one_another(page: Any, app: App) -> None:
    edit(page, app)
    other = enter(page.context, app)
    edit(other, app)
    type_over(page, "Beacon", "Strobe")
    other.wait_for_selector("#edit-said:has-text('another tab')")
    type_over(other, "Fuel pump", "Boost pump")
    page.click("#save")
    page.wait_for_selector("#edit-said:has-text('Saved.')")
    other.wait_for_selector("#changed:not([hidden])")
    assert "Strobe" in (app.lists / "line-up.yaml").read_text()


def test_an_item_is_added_and_the_list_run(page: Any, app: App) -> None:
    edit(page, app)
    page.click("#items >> text=Doors")
    page.fill("#add-challenge", 'Cowl "flaps": left')
    page.fill("#add-reply", "open")
    page.press("#add-reply", "Enter")
    page.wait_for_selector("#items >> text=Cowl")
    assert page.locator("#findings .error").count() == 0
    order = page.locator("#items li").all_inner_texts()
    assert [one.partition(":")[0] for one in order][-3:] == ["Doors", 'Cowl "flaps"', "Flaps"]
    page.click("#run-it")
    assert "Save it first" in page.inner_text("#edit-said")
    page.click("#save")
    page.wait_for_selector("#edit-said:has-text('Saved.')")
    page.click("#run-it")
    challenge(page, "Beacon?")


def test_a_list_out_of_a_file_confirmed_and_run(page: Any, app: App, tmp_path: Path) -> None:
    paper = tmp_path / "my taxi.txt"
    paper.write_text("Taxi checklist\nBrakes ... TESTED\nFlaps ... ____\nLights ... AS RQRD\n")
    page.click("text=New list")
    page.wait_for_selector("#bring")
    assert violations(page, axe) == [], "new list"
    page.set_input_files("#brought", str(paper))
    page.click("#bring button")
    page.wait_for_selector("#guesses .question")
    assert violations(page, axe) == [], "what was read"
    for size in (DESK, TABLET, PHONE):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    page.set_viewport_size(DESK)
    lights = page.locator("#guesses li", has=page.locator("text=AS RQRD"))
    lights.locator(".question input").fill("on / off")
    lights.locator(".question button").click()
    page.wait_for_function("() => document.querySelectorAll('#guesses .question').length < 2")
    page.fill("#finish-plane", "My plane")
    page.click("#finish button")
    page.wait_for_selector("#items >> text=Lights")
    assert (app.lists / "taxi.yaml").exists()
    assert page.locator("#findings .error").count() == 0


def test_a_file_that_is_none_is_told(page: Any, tmp_path: Path) -> None:
    bad = tmp_path / "card.txt"
    bad.write_bytes(b"\xff\xfe\x00nothing")
    page.click("text=New list")
    page.set_input_files("#brought", str(bad))
    page.click("#bring button")
    page.wait_for_selector("#trouble:not(:empty)")
    assert "card.txt" in page.inner_text("#trouble")
    assert "/tmp" not in page.inner_text("#trouble")


def test_lines_typed_for_a_new_list_are_kept_until_it_is_made(page: Any, app: App) -> None:
    page.click("text=New list")
    page.fill("#write-title", "Parking")
    page.fill("#write-lines", "Parking brake: on\nBeacon: off")
    page.reload()
    page.wait_for_function("() => document.getElementById('write-lines').value.includes('Beacon')")
    page.click("#write button")
    page.wait_for_selector("#items >> text=Parking brake")
    assert (app.folder / "lists" / "your-lists" / "parking.yaml").exists()


def test_a_shipped_list_is_looked_at_and_copied(page: Any, app: App) -> None:
    page.goto(f"{app.root}#/edit/shipped%2Fsandling-two%2Fbefore-start.yaml")
    page.wait_for_selector("#items button")
    assert page.get_attribute("#text", "readonly") is not None
    assert not page.is_visible("#save")
    assert violations(page, axe) == []
    page.click("#copy")
    page.wait_for_selector("#save:visible")
    assert (app.folder / "lists" / "sandling-two" / "before-start.yaml").exists()
    page.goto(f"{app.root}#/edit/own%2F..%2F..%2Fetc%2Fpasswd")
    page.wait_for_selector("#trouble:has-text('no longer there')")
