"""Spreadsheets read in, written by libraries of their own kind."""

from __future__ import annotations

import datetime
import sys
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.list_files.workbooks import first_sheet, refuse_costly, workbook_rows
from callout.app.shared.checklist_files import load_checklist
from callout.cli.main import app
from callout.errors import ChecklistInvalid

ROWS = [["Challenge", "Response", "Critical"], ["Flaps", 10, "x"], ["Mixture", "rich", ""]]


def write_xlsx(path: Path, rows: list[list[object]]) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.create_sheet("Another").append(["Not", "read"])
    book.save(path)


def write_ods(path: Path, rows: list[list[object]], repeated: int = 1) -> None:
    """Write with the library of the OpenDocument format's own object model."""
    pytest.importorskip("odf")
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book, table = OpenDocumentSpreadsheet(), Table(name="List")
    book.spreadsheet.addElement(table)
    for row in rows:
        line = TableRow(numberrowsrepeated=repeated)
        table.addElement(line)
        for value in row:
            if isinstance(value, int | float):
                cell = TableCell(valuetype="float", value=value)
            else:
                cell = TableCell(valuetype="string")
                cell.addElement(P(text=str(value)))
            line.addElement(cell)
    book.save(path)


WRITERS = {".xlsx": write_xlsx, ".ods": write_ods}


@pytest.mark.parametrize("kind", WRITERS)
def test_a_list_out_of_a_workbook(tmp_path: Path, kind: str) -> None:
    source, made = tmp_path / f"taxi{kind}", tmp_path / "taxi.yaml"
    WRITERS[kind](source, ROWS)
    result = CliRunner().invoke(app, ["new", str(made), "--from", str(source)])
    assert result.exit_code == 0, result.output
    checklist = load_checklist(made)
    assert checklist.title == "Taxi"
    flaps, mixture = checklist.items
    assert [r.text for r in flaps.responses] == ["10"]
    assert [r.text for r in mixture.responses] == ["rich"]
    assert (flaps.critical, mixture.critical) == (True, False)


@pytest.mark.parametrize("kind", WRITERS)
def test_numbers_are_read_as_they_are_shown(tmp_path: Path, kind: str) -> None:
    WRITERS[kind](tmp_path / f"a{kind}", [[10, 28.5, 0, -3, 118.1, "007"]])
    assert list(workbook_rows(tmp_path / f"a{kind}", 9)) == [
        ["10", "28.5", "0", "-3", "118.1", "007"]
    ]


def test_dates_and_empty_cells(tmp_path: Path) -> None:
    write_xlsx(tmp_path / "a.xlsx", [[datetime.date(2026, 3, 1), None, True, "on"]])
    assert list(workbook_rows(tmp_path / "a.xlsx", 9)) == [["2026-03-01", "", "True", "on"]]


def test_no_more_rows_than_asked_for(tmp_path: Path) -> None:
    write_ods(tmp_path / "a.ods", [["a", "b"], ["c", "d"], ["e", "f"]])
    assert [row[0] for row in workbook_rows(tmp_path / "a.ods", 2)] == ["a", "c"]


@pytest.mark.parametrize("repeated", [3_000_000, 2**31])
def test_a_small_file_with_millions_of_rows_is_refused(tmp_path: Path, repeated: int) -> None:
    write_ods(tmp_path / "a.ods", [["Flaps", "10"]], repeated)
    with pytest.raises(ChecklistInvalid, match="1,048,576 rows"):
        list(workbook_rows(tmp_path / "a.ods", 9))


def test_a_packed_bomb_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.xlsx", "w", zipfile.ZIP_DEFLATED) as archive:
        for part in range(101):
            archive.writestr(f"xl/worksheets/sheet{part}.xml", b" " * 1_000_000)
    assert (tmp_path / "a.xlsx").stat().st_size < 1_000_000
    with pytest.raises(ChecklistInvalid, match="too large"):
        list(workbook_rows(tmp_path / "a.xlsx", 9))


def test_one_cell_far_away_is_refused_before_room_is_made_for_it(tmp_path: Path) -> None:
    """XFD1048576 is the last cell that spreadsheet programs allow (common practice)."""
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    book.active["A1"] = "Flaps"
    book.active["XFD1048576"] = "up"
    path = tmp_path / "far.xlsx"
    book.save(path)
    with pytest.raises(ChecklistInvalid, match="the limit is 2,000,000 cells"):
        list(workbook_rows(path, 2_000))


def test_a_far_cell_of_another_kind_of_workbook_takes_no_more_memory_than_allowed(
    tmp_path: Path,
) -> None:
    """65 million cells, from the attributes of OpenDocument that repeat a row and a column."""
    pytest.importorskip("odf")
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book, table = OpenDocumentSpreadsheet(), Table(name="List")
    book.spreadsheet.addElement(table)
    for repeated in (4_000, 1):
        line = TableRow(numberrowsrepeated=repeated)
        table.addElement(line)
        for text in ("Flaps", "up"):
            cell = TableCell(valuetype="string")
            cell.addElement(P(text=text))
            line.addElement(cell)
            line.addElement(TableCell(numbercolumnsrepeated=16_382))
    path = tmp_path / "far.ods"
    book.save(path)
    assert path.stat().st_size < 10_000
    with pytest.raises(ChecklistInvalid, match=r"more than 400 MB or 20 seconds|cells are read"):
        list(workbook_rows(path, 2_000))


def test_a_reader_that_is_brought_down_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    dies = (sys.executable, "-c", "import os; os.kill(os.getpid(), 6)")
    monkeypatch.setattr("callout.app.list_files.workbooks.module_command", lambda name: dies)
    write_xlsx(tmp_path / "a.xlsx", [["Flaps", "10"]])
    with pytest.raises(ChecklistInvalid, match="to read"):
        list(workbook_rows(tmp_path / "a.xlsx", 9))


SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize(
    ("name", "whole", "broken"),
    [
        ("xl/workbook.xml", b"</sheets>", b"</sheetz>"),
        (SHEET, b"</sheetData>", b""),
        (SHEET, b"<worksheet", b"<!DOCTYPE w [<!ENTITY a 'aaaa'>]><worksheet"),
    ],
)
def test_xml_that_is_not_well_formed_is_refused_at_once(
    tmp_path: Path, name: str, whole: bytes, broken: bytes
) -> None:
    """At a table that does not end where it should the reader's library goes on for ever."""
    write_xlsx(tmp_path / "a.xlsx", [["Flaps", "10"]])
    with (
        zipfile.ZipFile(tmp_path / "a.xlsx") as old,
        zipfile.ZipFile(tmp_path / "b.xlsx", "w") as new,
    ):
        for part in old.namelist():
            data = old.read(part)
            assert part != name or whole in data
            new.writestr(part, data.replace(whole, broken) if part == name else data)
    assert list(workbook_rows(tmp_path / "a.xlsx", 9)) == [["Flaps", "10"]]
    with pytest.raises(ChecklistInvalid, match="not a readable workbook"):
        list(workbook_rows(tmp_path / "b.xlsx", 9))


def test_every_damaged_byte_of_an_archive_is_one_sentence_or_none(tmp_path: Path) -> None:
    write_xlsx(tmp_path / "a.xlsx", [["Flaps", "10"]])
    data = (tmp_path / "a.xlsx").read_bytes()
    refused = 0
    for place in range(0, len(data), 3):
        changed = bytes([data[place] ^ 0x55])
        (tmp_path / "b.xlsx").write_bytes(data[:place] + changed + data[place + 1 :])
        try:
            refuse_costly(tmp_path / "b.xlsx")
            list(first_sheet(tmp_path / "b.xlsx", 9))
        except ChecklistInvalid:
            refused += 1
    assert refused > 50
