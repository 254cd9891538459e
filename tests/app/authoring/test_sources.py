"""PDF, Word, tables and damaged files as ``callout new --from`` reads them."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from callout.app.authoring.guess_page import guess_picture, origin_picture, write_page
from callout.app.authoring.sources import read_source
from callout.app.authoring.writing import flight_change, write_flight
from callout.app.shared.checklist_files import load_flight
from callout.core.authoring.guesses import with_layout_asked
from callout.errors import CalloutError

fpdf = pytest.importorskip("fpdf")
pytest.importorskip("pypdfium2")

ITEMS = (
    ("PARKING BRAKE", "SET"),
    ("ALTIMETERS", "____ SET / CROSS-CHECKED"),
    ("FUEL QUANTITY", "_____ KG"),
    ("APU (if installed)", "ON or AUTO"),
    ("ANTI-ICE", "AS RQRD"),
)


def made_pdf(path: Path, pages: int = 1) -> Path:
    pdf = fpdf.FPDF()
    pdf.set_font("Helvetica", size=11)
    for page in range(pages):
        pdf.add_page()
        pdf.cell(
            0, 6, f"Fenwick Two   Rev 7   Page {page + 1} of {pages}", new_x="LMARGIN", new_y="NEXT"
        )
        if page == 0:
            pdf.set_font_size(15)
            pdf.cell(0, 12, "BEFORE START CHECKLIST", new_x="LMARGIN", new_y="NEXT")
            pdf.set_font_size(11)
        for challenge, response in ITEMS:
            room = 185 - pdf.get_string_width(challenge + response) - 4
            dots = "." * int(room / pdf.get_string_width("."))
            name = challenge if page == 0 else f"{challenge} {page + 1}"
            pdf.cell(0, 8, f"{name} {dots} {response}", new_x="LMARGIN", new_y="NEXT")
    pdf.output(str(path))
    return path


def test_a_pdf_with_leaders_and_page_furniture(tmp_path: Path) -> None:
    path = made_pdf(tmp_path / "card.pdf", pages=2)
    assert "PARKING BRAKE" in PdfReader(path).pages[0].extract_text()
    found = read_source(path)
    reading = found.reading
    assert reading.title == "Before start"
    replies = [guess.item.responses for guess in reading.guesses[:5]]
    expected = [
        ("set",),
        ("{altimeters} set, cross-checked",),
        ("{fuel_quantity}",),
        ("on", "auto"),
        (),
    ]
    assert replies == expected
    assert len(reading.guesses) == 10
    assert [out.why for out in reading.left_out] == ["furniture", "furniture"]
    assert reading.guesses[5].origin.page == 2


def test_each_guess_has_its_picture(tmp_path: Path) -> None:
    found = read_source(made_pdf(tmp_path / "card.pdf"))
    for guess in found.reading.guesses:
        picture = origin_picture(found, guess.origin)
        assert picture is not None
        assert picture.startswith(b"\xff\xd8")
    write_page(tmp_path / "page.html", found)
    text = (tmp_path / "page.html").read_text()
    assert text.count("data:image/jpeg") == len(found.reading.guesses)


def test_a_page_that_may_be_misread_is_shown_whole_and_large(tmp_path: Path) -> None:
    """Where its first item asks about it; the other items show their own lines."""
    found = read_source(made_pdf(tmp_path / "card.pdf"))
    asked = replace(found, reading=with_layout_asked(found.reading, {1}))
    pictures = [guess_picture(asked, guess) for guess in asked.reading.guesses]
    heights = []
    for picture in pictures:
        assert picture is not None
        width, height = Image.open(BytesIO(picture)).size
        heights.append(height / width)
    assert heights[0] > 1 > 2 * max(heights[1:])
    write_page(tmp_path / "page.html", asked)
    assert (tmp_path / "page.html").read_text().count('class="whole"') == 1


def test_each_picture_shows_the_words_it_stands_beside(tmp_path: Path) -> None:
    """The library is asked what stands there; the size of a page may stand with all pages."""
    from pypdfium2 import PdfDocument

    path = made_pdf(tmp_path / "card.pdf", pages=2)
    document, found = PdfDocument(path), read_source(path)
    for guess in found.reading.guesses:
        page, box = document[guess.origin.page - 1], guess.origin.box
        assert box is not None
        top = page.get_height()
        there = page.get_textpage().get_text_bounded(
            box.left - 1, top - box.bottom - 1, box.right + 1, top - box.top + 1
        )
        assert guess.origin.text.split()[0] in there


def test_blanks_and_conditions_become_flight_data(tmp_path: Path) -> None:
    reading = read_source(made_pdf(tmp_path / "card.pdf")).reading
    for _ in range(2):
        change = flight_change(tmp_path / "list.yaml", reading)
        if change is None:
            break
        assert write_flight(change)
    else:
        pytest.fail("what is there already is asked for again")
    flight = load_flight(tmp_path / "flight.yaml")
    assert flight.quantities["fuel_quantity"].unit == "kg"
    assert flight.facts["apu_installed"] is None


def test_new_data_goes_into_a_flight_file_that_is_there(tmp_path: Path) -> None:
    reading = read_source(made_pdf(tmp_path / "card.pdf")).reading
    beside = tmp_path / "flight.yaml"
    beside.write_text(
        "callout: 1\ntitle: Mine\nquantities:\n  # mine\n    qnh: {value: 1013 hPa}\n"
    )
    change = flight_change(tmp_path / "list.yaml", reading)
    assert change is not None
    assert write_flight(change)
    assert set(load_flight(beside).quantities) == {"qnh", "altimeters", "fuel_quantity"}
    assert "# mine" in beside.read_text()


def test_a_cell_wider_than_any_table_is_refused_at_once(tmp_path: Path) -> None:
    docx = pytest.importorskip("docx")
    document = docx.Document()
    row = document.add_table(rows=1, cols=2).rows[0]
    row.cells[0].text, row.cells[1].text = "Flaps", "up"
    row.cells[0]._tc.grid_span = 2_000_000_000
    document.save(str(tmp_path / "wide.docx"))
    with pytest.raises(CalloutError, match="not a Word file that can be read"):
        read_source(tmp_path / "wide.docx")


def test_a_page_of_a_pdf_that_cannot_be_loaded_is_one_sentence(tmp_path: Path) -> None:
    pytest.importorskip("pypdfium2")
    parts = (b"1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n",
             b"2 0 obj\n<< /Type /Pages /Kids [9 0 R] /Count 1 >>\nendobj\n")  # fmt: skip
    file = tmp_path / "gone.pdf"
    file.write_bytes(
        b"%PDF-1.7\n" + b"".join(parts) + b"trailer << /Size 3 /Root 1 0 R >>\n%%EOF\n"
    )
    with pytest.raises(CalloutError, match="not a PDF that can be read"):
        read_source(file)


def test_a_word_file(tmp_path: Path) -> None:
    docx = pytest.importorskip("docx")
    document = docx.Document()
    document.add_heading("Taxi checklist", 0)
    document.add_paragraph("Brakes\tCHECKED")
    table = document.add_table(rows=2, cols=2)
    table.cell(0, 0).text, table.cell(0, 1).text = "Challenge", "Response"
    table.cell(1, 0).text, table.cell(1, 1).text = "Flaps", "____"
    document.save(str(tmp_path / "card.docx"))
    reading = read_source(tmp_path / "card.docx").reading
    assert reading.title == "Taxi"
    found = [(guess.item.challenge, guess.item.responses) for guess in reading.guesses]
    assert found == [("Brakes", ("checked",)), ("Flaps", ("{flaps}",))]


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.pdf", b"not a pdf", "is not a PDF"),
        (
            "a.pdf",
            b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 1 0 R>>endobj\ntrailer<</Root 1 0 R>>",
            "PDF|no items",
        ),
        ("a.docx", b"PK\x03\x04 cut short", "is not a Word file"),
        ("a.heic", b"x", "is a kind of file that callout cannot read"),
        ("missing.pdf", None, "does not exist"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(
    tmp_path: Path, name: str, content: bytes | None, says: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(CalloutError, match=says) as caught:
        read_source(tmp_path / name)
    assert caught.value.hint
    assert "\n" not in caught.value.message
