"""Manuals brought to the page in a real browser: a PDF, a photo, a Word file, a spreadsheet.

Each is read, shown beside the picture it came from, asked about, confirmed in one pass, and opens
in the editor. The cards are invented (``callout/bench/cards``).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from callout.bench.cards.decks import DECKS
from tests.web.app_kit import (
    CHROMIUM,
    DESK,
    PHONE,
    TABLET,
    App,
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
CARDS = {card.name: card for card in DECKS["first"]}
ROWS = (
    ("Challenge", "Response"),
    ("Parking brake", "SET"),
    ("Altimeter", "____ / CROSS-CHECKED"),
    ("Pitot heat", "AS RQRD"),
)


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


def bring(page: Any, file: Path) -> None:
    """Choose a file and have it read."""
    page.click("a:has-text('New list')")
    page.wait_for_selector("#bring:visible")
    page.set_input_files("#brought", str(file))
    page.click("#bring button")
    page.wait_for_selector("#guesses .guess", timeout=120_000)


def answer_all(page: Any) -> int:
    """Answer what is asked, one question after the other; return how many there were."""
    count = 0
    while page.locator("#guesses .question").count():
        left = page.locator("#guesses .question").count()
        form = page.locator("#guesses .question").first
        field = form.locator("input, select")
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(index=1)
        elif not field.input_value():
            field.fill("on / off")
        form.locator("button").click()
        page.wait_for_function(
            "n => document.querySelectorAll('#guesses .question').length < n", arg=left
        )
        count += 1
        assert count < 60
    return count


def make_list(page: Any, title: str) -> None:
    """Confirm the whole, and wait for the editor."""
    page.fill("#finish-title", title)
    page.fill("#finish-plane", "Paper plane")
    page.click("#finish button")
    page.wait_for_selector("#items button")
    assert page.locator("#findings .error").count() == 0, page.inner_text("#findings")


def the_text(app: App, title: str) -> str:
    file = app.folder / "lists" / "paper-plane" / f"{title}.yaml"
    return file.read_text(encoding="utf-8")


def pictures(page: Any) -> list[int]:
    """Return how wide each picture beside a guess really is."""
    return page.eval_on_selector_all("#guesses img", "all => all.map(one => one.naturalWidth)")


def test_a_pdf(page: Any, app: App, tmp_path: Path) -> None:
    """Each guess beside its own picture; what is unsure is asked; then the editor opens."""
    pytest.importorskip("pypdfium2")
    pytest.importorskip("fpdf")
    card = CARDS["pdf-07"]
    file = tmp_path / "card.pdf"
    file.write_bytes(card.made()[1])
    bring(page, file)
    guesses = page.locator("#guesses .guess").count()
    truths = card.text().truths
    assert guesses >= 0.9 * len(truths)
    wide = pictures(page)
    assert len(wide) == guesses
    assert min(wide) > 40
    assert violations(page, axe) == [], "what was read"
    for size in (TABLET, PHONE, DESK):
        page.set_viewport_size(size)
        assert fits(page) == [], size
    answer_all(page)
    assert "question" not in page.inner_text("#reading-said").partition(".")[0]
    make_list(page, "From paper")
    text = the_text(app, "from-paper")
    assert sum(truth.challenge in text for truth in truths) >= 0.85 * len(truths)


def test_a_photo(page: Any, app: App, tmp_path: Path) -> None:
    pytest.importorskip("rapidocr")
    pytest.importorskip("cv2")
    card = CARDS["photo-03"]
    ending, data = card.made()
    file = tmp_path / f"card{ending}"
    file.write_bytes(data)
    bring(page, file)
    wide = pictures(page)
    assert len(wide) == page.locator("#guesses .guess").count()
    assert min(wide) > 40
    assert violations(page, axe) == []
    answer_all(page)
    make_list(page, "From photo")
    truths = card.text().truths
    text = the_text(app, "from-photo").casefold()
    assert sum(truth.challenge.casefold() in text for truth in truths) >= 0.8 * len(truths)


def test_a_word_file_and_a_spreadsheet(page: Any, app: App, tmp_path: Path) -> None:
    """A blank becomes a quantity or a question, "as required" is asked: nothing is made up."""
    docx = pytest.importorskip("docx")
    openpyxl = pytest.importorskip("openpyxl")
    made = docx.Document()
    table = made.add_table(0, 2)
    book = openpyxl.Workbook()
    for row in ROWS:
        cells = table.add_row().cells
        for cell, words in zip(cells, row, strict=True):
            cell.text = words
        book.active.append(row)
    made.save(str(tmp_path / "card.docx"))
    book.save(tmp_path / "card.xlsx")
    for kind in ("docx", "xlsx"):
        page.goto(f"{app.root}#/lists")
        page.wait_for_selector("#groups button")
        bring(page, tmp_path / f"card.{kind}")
        assert page.locator("#guesses .guess").count() == 3
        assert "AS RQRD" in page.inner_text("#guesses")
        assert answer_all(page) >= 1, "as required is asked about"
        make_list(page, f"From {kind}")
        text = the_text(app, f"from-{kind}")
        assert "Parking brake" in text
        assert "Pitot heat" in text


def test_an_item_is_left_out_and_put_back_and_reworded(page: Any, app: App, tmp_path: Path) -> None:
    """By the keyboard: focus stays at the item."""
    file = tmp_path / "card.txt"
    file.write_text("Doors ... CLOSED\nBeacon ... ON\nFlaps ... UP\n")
    bring(page, file)
    page.locator("#guesses .out").nth(1).focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#guesses .left")
    assert page.evaluate("document.activeElement.textContent") == "Put it back"
    page.fill("#challenge-0", "Cabin doors")
    page.press("#challenge-0", "Tab")
    page.keyboard.type("shut ")
    page.wait_for_function("() => document.querySelector('#reading-said').textContent")
    page.wait_for_timeout(1500)
    assert page.evaluate("document.activeElement.id") == "response-0"
    assert "shut" in page.input_value("#response-0"), "what is typed meanwhile stays"
    make_list(page, "Short")
    text = the_text(app, "short")
    assert "Cabin doors" in text
    assert "Beacon" not in text


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("torn.pdf", b"%PDF-1.7 torn"),
        ("torn.jpg", b"\xff\xd8\xff\xe0 torn"),
        ("torn.docx", b"PK\x03\x04 torn"),
        ("torn.xlsx", b"PK\x03\x04 torn"),
        ("<img src=x onerror=alert(1)>.txt", b""),
    ],
)
def test_a_file_that_cannot_be_read_is_one_sentence(
    page: Any, tmp_path: Path, name: str, data: bytes
) -> None:
    file = tmp_path / name.replace("/", "-")
    file.write_bytes(data)
    page.click("a:has-text('New list')")
    page.set_input_files("#brought", str(file))
    page.click("#bring button")
    page.wait_for_selector("#trouble:not(:empty)")
    said = page.inner_text("#trouble")
    assert "Traceback" not in said
    assert str(tmp_path) not in said
    assert page.locator("#trouble img").count() == 0
    assert page.is_enabled("#bring button")


MANUAL = """BEFORE START CHECKLIST\nParking brake .... set\nFuel pump .... on\n
LANDING CHECKLIST\nBelts .... fastened\nGear .... down\n"""


@pytest.mark.parametrize("each", [True, False], ids=["each by itself", "one list"])
def test_a_manual_with_two_lists(page: Any, app: App, tmp_path: Path, each: bool) -> None:
    """Both are named beside a tick; with it two lists are made, without it one."""
    (file := tmp_path / "manual.txt").write_text(MANUAL, encoding="utf-8")
    bring(page, file)
    assert "Before start, Landing" in page.inner_text("#finish-each")
    answer_all(page)
    page.set_checked("#each-list", each)
    make_list(page, "Both")
    made = (app.folder / "lists" / "paper-plane").glob("*.yaml")
    lists = sorted(file.name for file in made if file.name != "flight.yaml")
    assert lists == (["before-start.yaml", "landing.yaml"] if each else ["both.yaml"])
    text = "".join(the_text(app, name.removesuffix(".yaml")) for name in lists)
    assert all(words in text for words in ("Parking brake", "Fuel pump", "Belts", "Gear"))
