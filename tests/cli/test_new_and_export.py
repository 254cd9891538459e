"""``callout new`` and ``callout export`` as a person runs them."""

from __future__ import annotations

import csv
import io
import re
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.shared.checklist_files import load_checklist
from callout.cli.main import SAFETY, app
from callout.core.printing.card import LEAST_X_HEIGHT_MM, MM_A_POINT, SIZES, Size, type_size
from callout.errors import CalloutError
from callout.hidden import hidden_places

SHIPPED = Path(__file__).parents[2] / "checklists"
TRAINER = SHIPPED / "tarnbeck-one"
ANSWERS = "Taxi\n\nBrakes\nholding / both holding\nsoft\ny\nFlaps\nup\n\n\n\n\n"


def callout(*words: str | Path, typed: str | None = None) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words], input=typed)


def test_new_from_a_text(tmp_path: Path) -> None:
    source, made = tmp_path / "taxi.txt", tmp_path / "taxi.yaml"
    source.write_text("Taxi\n\nBrakes .... holding\nFlaps: set\n")
    result = callout("new", made, "--from", source)
    assert result.exit_code == 0, result.output
    assert '"set" does not say what state "Flaps" is in' in result.output
    text = made.read_text()
    assert "# read aloud;" in text
    assert [item.challenge for item in load_checklist(made).items] == ["Brakes", "Flaps"]


def test_what_nobody_sees_in_a_text_is_not_written_into_a_list(tmp_path: Path) -> None:
    source, made = tmp_path / "a\u202eb.txt", tmp_path / "made.yaml"
    source.write_text(
        "Bea\x07con\x1b[31m .... o\u200bn\nDoors .... closed\u202e\n", encoding="utf-8"
    )
    assert callout("new", made, "--from", source).exit_code == 0
    assert callout("check", made).exit_code == 0
    assert not hidden_places(made.read_text(encoding="utf-8").replace("\n", ""))


def test_each_list_of_a_manual_becomes_a_file_of_a_flight(tmp_path: Path) -> None:
    source, made = tmp_path / "manual.txt", tmp_path / "plane"
    source.write_text(
        "TAXI CHECKLIST\nBrakes .... tested\nAltimeter .... ____ hPa\n\n"
        "LANDING CHECKLIST\nGear .... down\nAltimeter .... ____ hPa\n"
    )
    result = callout("new", made, "--from", source)
    assert result.exit_code == 0, result.output
    assert sorted(p.name for p in made.iterdir()) == ["flight.yaml", "landing.yaml", "taxi.yaml"]
    assert callout("check", made).exit_code == 0
    again = callout("new", made, "--from", source)
    assert "already exists" in str(again.exception)
    one = callout("new", tmp_path / "one.yaml", "--from", source)
    assert "It contains 2 lists" in one.output


def test_new_by_interview(tmp_path: Path) -> None:
    made = tmp_path / "taxi.yaml"
    result = callout("new", made, typed=ANSWERS)
    assert result.exit_code == 0, result.output
    brakes, flaps = load_checklist(made).items
    assert [r.text for r in brakes.responses] == ["holding", "both holding"]
    assert brakes.critical
    assert not flaps.critical


def test_new_replaces_nothing_unasked(tmp_path: Path) -> None:
    made = tmp_path / "taxi.yaml"
    made.write_text("mine")
    result = callout("new", made, typed=ANSWERS)
    assert "already exists" in str(result.exception)
    assert made.read_text() == "mine"
    assert callout("new", made, "--replace", typed=ANSWERS).exit_code == 0


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.xlsx", b"not a zip", "is not a readable workbook"),
        ("a.ods", b"PK\x03\x04 cut short", "is not a readable workbook"),
        ("missing.ods", None, "does not exist"),
        ("a.doc", b"x", "is a kind of file that callout cannot read"),
        ("a.txt", b"\n\n", "contains no items"),
        ("a.csv", b"\xff\xff", "not UTF-8"),
        ("missing.xlsx", None, "does not exist"),
        ("missing.txt", None, "does not exist"),
    ],
)
def test_what_cannot_be_read_in_says_so(
    tmp_path: Path, name: str, content: bytes | None, says: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    result = callout("new", tmp_path / "made.yaml", "--from", tmp_path / name)
    assert says in str(result.exception)
    assert not (tmp_path / "made.yaml").exists()


@pytest.mark.parametrize("form", ["md", "csv"])
def test_what_is_exported_can_be_read_in_again(tmp_path: Path, form: str) -> None:
    out, made = tmp_path / f"list.{form}", tmp_path / "made.yaml"
    assert callout("export", TRAINER / "taxi.yaml", "--to", out).exit_code == 0
    assert callout("new", made, "--from", out).exit_code == 0
    base, again = load_checklist(TRAINER / "taxi.yaml"), load_checklist(made)
    assert [i.challenge for i in again.items] == [i.challenge for i in base.items]
    for one, other in zip(base.items, again.items, strict=True):
        assert [r.text for r in one.responses] == [r.text for r in other.responses]
        assert one.critical == other.critical


def test_csv_has_every_item_of_a_folder_once() -> None:
    result = callout("export", TRAINER, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.output)))
    lists = [load_checklist(p) for p in TRAINER.glob("*.yaml") if p.name != "flight.yaml"]
    assert len(rows) == sum(len(c.items) for c in lists)


def test_csv_holds_no_formula(tmp_path: Path) -> None:
    text = (TRAINER / "taxi.yaml").read_text().replace("challenge: Brakes", 'challenge: "=1+1"')
    (tmp_path / "taxi.yaml").write_text(text)
    rows = list(csv.DictReader(io.StringIO(callout("export", tmp_path, "--format", "csv").output)))
    assert rows[0]["challenge"] == "'=1+1"


@pytest.mark.parametrize("size", list(Size))
@pytest.mark.parametrize("fold", [False, True])
def test_pdf_cards_have_their_size_and_every_item(tmp_path: Path, size: Size, fold: bool) -> None:
    """ISO 216: A5 is 148 by 210 mm; two of them make an A4."""
    pypdf = pytest.importorskip("pypdf")
    pytest.importorskip("fpdf")
    out = tmp_path / "cards.pdf"
    options = ["--size", size.value, *(["--fold"] if fold else [])]
    assert callout("export", TRAINER, "--to", out, *options).exit_code == 0
    pages = pypdf.PdfReader(out).pages
    wide = SIZES[size].width * (2 if fold else 1)
    assert float(pages[0].mediabox.width) == pytest.approx(wide / MM_A_POINT, abs=0.1)
    assert float(pages[0].mediabox.height) == pytest.approx(
        SIZES[size].height / MM_A_POINT, abs=0.1
    )
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    for checklist in (load_checklist(p) for p in TRAINER.glob("*.yaml") if p.name != "flight.yaml"):
        assert f"\u201c{checklist.completion_call}\u201d" in text
        assert all(item.challenge in text for item in checklist.items)


def test_type_is_as_high_as_published_guidance_asks() -> None:
    """Degani, NASA CR-177605: small letters of 0.10 inch or more; measured in the face itself."""
    ttf = pytest.importorskip("fontTools.ttLib")
    folder = SHIPPED.parent / "callout" / "data" / "fonts"
    for path in folder.glob("*.ttf"):
        face = ttf.TTFont(path)
        share = face["OS/2"].sxHeight / face["head"].unitsPerEm
        assert type_size() * share * MM_A_POINT >= LEAST_X_HEIGHT_MM


def test_html_is_one_file_with_everything_escaped(tmp_path: Path) -> None:
    pytest.importorskip("jinja2")
    text = (TRAINER / "taxi.yaml").read_text().replace("challenge: Brakes", "challenge: <b>Brakes")
    (tmp_path / "taxi.yaml").write_text(text)
    out = tmp_path / "card.html"
    assert callout("export", tmp_path / "taxi.yaml", "--to", out, "--fold").exit_code == 0
    page = out.read_text(encoding="utf-8")
    assert "&lt;b&gt;Brakes" in page
    assert not re.search(r"""(?:src|href)=["']|https?://""", page)
    assert SAFETY.split(".")[0] in page


def test_a_name_that_says_no_format() -> None:
    result = callout("export", TRAINER / "taxi.yaml", "--to", "card.doc")
    assert "Callout cannot write a file with the ending of" in str(result.exception)


@pytest.mark.parametrize(
    ("library", "name"), [("fpdf", "card.pdf"), ("jinja2", "card.html"), ("python_calamine", "")]
)
def test_a_missing_library_is_named_with_the_command_that_brings_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: str, name: str
) -> None:
    monkeypatch.setitem(sys.modules, library, None)
    if name:
        result = callout("export", TRAINER / "taxi.yaml", "--to", tmp_path / name)
    else:
        (tmp_path / "a.xlsx").write_bytes(b"x")
        result = callout("new", tmp_path / "a.yaml", "--from", tmp_path / "a.xlsx")
    assert isinstance(result.exception, CalloutError)
    assert 'pip install "callout[cards]"' in result.exception.hint
