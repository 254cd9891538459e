"""The first sheet of a spreadsheet, as rows of texts."""

from __future__ import annotations

import json
import lzma
import re
import subprocess
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from xml.parsers import expat

from callout.app.shared.checklist_files import MAX_BYTES
from callout.core.sentences import authoring
from callout.core.sentences import files as sentences
from callout.errors import CalloutError, ChecklistInvalid
from callout.own_process import end_process, module_command, start_process

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

WORKBOOKS: Final = (".xlsx", ".xlsm", ".xls", ".ods")
"""OpenDocument (ISO/IEC 26300), Office Open XML (ISO/IEC 29500) and the older binary kind."""
MOST_PACKED: Final = 10 * MAX_BYTES
MOST_UNPACKED: Final = 100 * MAX_BYTES
"""Bytes; a packed sheet can grow a thousandfold."""
MOST_CELLS: Final = 2_000_000
MEMORY: Final = 400 << 20
"""Bytes that reading may use: several times the largest allowed sheet."""
SECONDS: Final = 20
_AGAIN: Final = sentences.WORKBOOK_HINT


def workbook_rows(path: Path, most: int) -> Iterator[list[str]]:
    """Yield at most ``most`` rows of the first sheet; raise CalloutError if it cannot be read."""
    try:
        import python_calamine  # noqa: F401  it is used in another process
    except ImportError as error:
        hint = sentences.SPREADSHEET_INSTALL_HINT
        raise CalloutError(sentences.SPREADSHEET_LIBRARY_MISSING, hint) from error
    refuse_costly(path)
    answer = _read_apart(path, most)
    if "error" in answer:
        raise ChecklistInvalid(answer["error"], answer["hint"])
    if "rows" not in answer:
        said = sentences.workbook_too_costly(path, MEMORY >> 20, SECONDS)
        raise ChecklistInvalid(said, sentences.ONE_LIST_IN_SHEET)
    yield from answer["rows"]


def _read_apart(path: Path, most: int) -> dict[str, Any]:
    """Have a separate process read the workbook; return nothing if that was killed."""
    process = start_process(module_command("callout.app.list_files.workbook_process"))
    try:
        told, _ = process.communicate(json.dumps([str(path), most]) + "\n", timeout=SECONDS)
        return dict(json.loads(told)) if told else {}
    except subprocess.TimeoutExpired:
        return {}
    finally:
        end_process(process)


def first_sheet(path: Path, most: int) -> Iterator[list[str]]:
    """Yield at most ``most`` rows of the first sheet, read in this process."""
    from python_calamine import CalamineError, CalamineWorkbook

    _refuse_broken(path)
    try:
        with CalamineWorkbook.from_path(path) as book:
            sheet = book.get_sheet_by_index(0)
            _refuse_wide(path, sheet)
            rows = sheet.to_python(nrows=most)
    except (CalamineError, OSError, ValueError) as error:
        raise ChecklistInvalid(sentences.workbook_unreadable(path), _AGAIN) from error
    for row in rows:
        yield [_cell_text(cell) for cell in row]


def _cell_text(cell: object) -> str:
    """Return a cell as shown: OpenDocument has no integers, so 10.0 is 10."""
    whole = isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15
    return str(int(cell)) if whole and isinstance(cell, float) else str(cell)


def refuse_costly(path: Path) -> None:
    """Refuse files that would cost too much to read; raises ChecklistInvalid naming the limit."""
    _refuse_large(path)
    _refuse_spread(path)


def _refuse_large(path: Path) -> None:
    if not path.is_file():
        raise ChecklistInvalid(authoring.no_such_file(path), authoring.CHECK_NAME)
    small = path.stat().st_size <= MOST_PACKED
    if small and zipfile.is_zipfile(path):
        with _unpacked(path) as archive:
            small = sum(part.file_size for part in archive.infolist()) <= MOST_UNPACKED
    if not small:
        raise ChecklistInvalid(sentences.workbook_too_large(path), sentences.ONE_LIST_IN_WORKBOOK)


_PLACE: Final = re.compile(rb'<(?:\w+:)?c [^<>]{0,200}?\br="([A-Z]{1,3})(\d{1,7})"')
_DAMAGED: Final = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, expat.ExpatError)
"""What damaged archives and their parts raise."""
_MOST_AT_ONCE: Final = 4_000_000


def _refuse_spread(path: Path) -> None:
    """Refuse a sheet with few distant cells: the reader allocates everything between them."""
    if not zipfile.is_zipfile(path):
        return
    with _unpacked(path) as archive:
        for name in [n for n in archive.namelist() if n.startswith("xl/worksheets/")]:
            rows, columns = _sheet_extent(archive, name)
            if rows * columns > MOST_CELLS:
                raise ChecklistInvalid(*_too_wide(path, rows, columns))


def _refuse_broken(path: Path) -> None:
    """Refuse XML that is not well-formed: a wrong end of a table makes the reader run forever."""
    if not zipfile.is_zipfile(path):
        return
    with _unpacked(path) as archive:
        for name in archive.namelist():
            if name == "content.xml" or (name.startswith("xl/") and name.endswith(".xml")):
                parser = expat.ParserCreate()
                parser.StartDoctypeDeclHandler = _no_doctype
                with archive.open(name) as part:
                    while block := part.read(_MOST_AT_ONCE):
                        parser.Parse(block)
                parser.Parse(b"", True)


def _no_doctype(*told: object) -> None:
    """Neither format has one (ISO/IEC 29500-2, 26300-3); entities could grow without end."""
    raise ValueError("a document type")


@contextmanager
def _unpacked(path: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(path) as archive:
            yield archive
    except (*_DAMAGED, OSError, ValueError, NotImplementedError, RuntimeError) as error:
        raise ChecklistInvalid(sentences.workbook_unreadable(path), _AGAIN) from error


def _sheet_extent(archive: zipfile.ZipFile, name: str) -> tuple[int, int]:
    rows = columns = 0
    with archive.open(name) as part:
        kept = b""
        while block := part.read(_MOST_AT_ONCE):
            for letters, number in _PLACE.findall(kept + block):
                rows = max(rows, int(number))
                columns = max(columns, _column_number(letters))
            kept = block[-300:]
    return rows, columns


def _column_number(letters: bytes) -> int:
    """Return the number of a column: A is 1, XFD 16,384 (ISO/IEC 29500-1, 18.3.1.4)."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _too_wide(path: Path, rows: int, columns: int) -> tuple[str, str]:
    size = f"{rows:,} rows of {columns:,} columns"
    said = sentences.sheet_too_large(path, size, MOST_CELLS)
    return said, sentences.ONE_LIST_IN_SHEET


def _refuse_wide(path: Path, sheet: CalamineSheet) -> None:
    if sheet.height * sheet.width > MOST_CELLS:
        raise ChecklistInvalid(*_too_wide(path, sheet.height, sheet.width))
