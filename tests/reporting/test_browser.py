"""The reports in a real browser: accessible in both schemes, narrow and in print; nothing loaded.

Rules: WCAG 2.2 A and AA as axe-core checks them; reflow at 320 px is 1.4.10.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from callout.bench.year import make_year
from callout.cli.main import app
from callout.core.checklist_run.records import Replied
from callout.journal.sound_files import SoundFiles
from tests.reporting.kit import heard_to_its_end, keep, rough
from tests.web.axe_rules import RULES

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
axe = pytest.importorskip("axe_playwright_python.sync_playwright")
pytest.importorskip("matplotlib")

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("reports")
    make_year(folder / "year", seed=2, sessions=60, names=("Trainee Ash",))
    keep(folder, "20310504T060000Z-before-start-0000a1", rough(challenge="<i>Beacon</i>" * 9))
    made = {"debrief": folder / "debrief.html", "trends": folder / "trends.html"}
    for command, place in (("debrief", folder), ("trends", folder / "year")):
        args = [command, "--journal-dir", str(place), "--html", str(made[command])]
        assert CliRunner().invoke(app, args).exit_code == 0
    made["plain"] = folder / "plain.html"
    usual = keep(folder / "year", "20320504T060000Z-before-start-0000a2", rough())
    args = ["debrief", str(usual), "--journal-dir", str(usual.parent)]
    assert CliRunner().invoke(app, [*args, "--html", str(made["plain"])]).exit_code == 0
    usual.unlink()
    words = ["instructor", "class", str(folder / "year"), "--journal-dir", str(folder)]
    made["class"] = folder / "class.html"
    assert CliRunner().invoke(app, [*words, "--html", str(made["class"])]).exit_code == 0
    return made


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        args = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        made = driver.chromium.launch(executable_path=CHROMIUM, args=args)
        yield made
        made.close()


@pytest.mark.parametrize("name", ["debrief", "trends", "class"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1100, 320])
def test_a_page_is_accessible_and_loads_nothing(
    browser: Any, pages: dict[str, Path], name: str, scheme: str, width: int
) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 900}, color_scheme=scheme, offline=True
    )
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(pages[name].as_uri())
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert said == [], "the page's own policy refuses nothing"
    over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert over <= 0
    context.close()
    # axe is a script, which the page's policy rightly refuses: it is looked at with that set aside
    context = browser.new_context(
        viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True
    )
    page = context.new_page()
    page.goto(pages[name].as_uri())
    found = axe.Axe().run(page, options=RULES)
    context.close()
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("name", ["debrief", "trends"])
def test_it_prints_dark_on_light(browser: Any, pages: dict[str, Path], name: str) -> None:
    context = browser.new_context(color_scheme="dark")
    page = context.new_page()
    page.goto(pages[name].as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    context.close()
    assert ground == "rgb(255, 255, 255)"


FIRST = {
    "plain": ("lead", "figures", "todo", "part"),
    "trends": ("lead", "figures", "part"),
    "class": ("lead", "figures", "part"),
}
"""What the first screen of a phone must hold: the verdict, what to do, a few figures, and the first
part of the rest."""


@pytest.mark.parametrize("name", FIRST)
def test_the_first_screen_of_a_phone_holds_the_verdict_and_the_way_to_the_rest(
    browser: Any, pages: dict[str, Path], name: str
) -> None:
    """Without a script; what is folded is there once it is opened by hand."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, java_script_enabled=False, offline=True
    )
    page = context.new_page()
    page.goto(pages[name].as_uri())
    for kind in FIRST[name]:
        places = [one.bounding_box() for one in page.locator(f".{kind}").all()]
        wanted = places[:1] if kind == "part" else places
        assert wanted
        assert all(box["y"] + box["height"] <= 844 for box in wanted), kind
    first = page.locator(".part .fold").first
    inside = first.locator("p, ul, figure, table").first
    assert not inside.is_visible()
    first.locator("summary").click()
    assert inside.is_visible()
    context.close()


@pytest.mark.parametrize("name", FIRST)
@pytest.mark.parametrize("media", ["screen", "print"])
def test_wide_screens_and_paper_fold_no_part(
    browser: Any, pages: dict[str, Path], name: str, media: str
) -> None:
    page = browser.new_page(viewport={"width": 1100, "height": 800})
    page.goto(pages[name].as_uri())
    page.emulate_media(media=media)
    parts = page.locator(".fold")
    assert parts.count()
    for part in parts.all():
        inside = part.locator(":scope > :not(summary)").first
        assert inside.is_visible()
        assert inside.bounding_box()["height"] > 0
        assert not part.locator("summary").first.is_visible(), "one heading, not two"
    page.close()


def test_a_slip_is_followed_by_hand_and_seen(browser: Any, pages: dict[str, Path]) -> None:
    """On a phone, without a script: nothing of the steps before, all of them after."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(pages["debrief"].as_uri())
    link = page.locator("h3 + ul a[href^='#moment-']").first
    steps = page.locator(str(link.get_attribute("href")))
    page.get_by_text("What to look at").locator("visible=true").click()
    assert not steps.is_visible()
    link.click()
    assert steps.is_visible()
    assert "asked: " in steps.inner_text()
    page.get_by_role("link", name="Close").locator("visible=true").click()
    assert not steps.is_visible()
    cut = "e => e.scrollWidth > e.clientWidth + 1"
    assert page.eval_on_selector_all(".scroll", f"es => es.filter({cut}).length") == 0
    page.close()


def test_kept_sound_is_loaded_and_played_in_the_report(browser: Any, tmp_path: Path) -> None:
    """By its own button, offline, under the page's policy, without a script."""
    records = rough()
    journal = keep(tmp_path, "20310504T060000Z-before-start-0000a1", records)
    tone = np.sin(np.arange(8_000) / 8.0) * 9_000
    for record in records:
        if isinstance(record, Replied):
            assert SoundFiles().keep(journal, record.seq, tone.astype(np.int16)) == ""
    made = tmp_path / "voiced.html"
    words = ["debrief", str(journal), "--journal-dir", str(tmp_path), "--with-sound"]
    assert CliRunner().invoke(app, [*words, "--html", str(made)]).exit_code == 0
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, offline=True, java_script_enabled=False
    )
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(made.as_uri())
    page.get_by_text("What to look at").locator("visible=true").click()
    page.locator("h3 + ul a[href^='#moment-']").first.click()
    sound = page.locator("audio:visible").first
    assert "as it was heard" in str(sound.get_attribute("aria-label"))
    heard_to_its_end(page, sound)
    assert said == []
    context.close()
