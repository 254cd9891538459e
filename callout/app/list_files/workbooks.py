"""The first sheet of a spreadsheet, as rows of texts."""

from __future__ import annotations

import json
import re
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from callout.app.shared.checklist_files import MAX_BYTES
from callout.errors import CalloutError, ChecklistInvalid
from callout.own_process import end, module_command, started

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

WORKBOOKS: Final = (".xlsx", ".xlsm", ".xls", ".ods")
"""OpenDocument (ISO/IEC 26300), Office Open XML (ISO/IEC 29500) and the older binary kind."""
MOST_PACKED: Final = 10 * MAX_BYTES
MOST_UNPACKED: Final = 100 * MAX_BYTES
"""Bytes; a packed sheet can grow a thousandfold."""
MOST_CELLS: Final = 2_000_000
MEMORY: Final = 400 << 20
"""Bytes that reading may take: the most cells there may be, several times over."""
SECONDS: Final = 60
_AGAIN: Final = "Open it in a spreadsheet program and save it again, or save it as CSV."


def workbook_rows(path: Path, most: int) -> Iterator[list[str]]:
    """Yield at most ``most`` rows of the first sheet; raise CalloutError when it cannot be read."""
    try:
        import python_calamine  # noqa: F401  it is used in another process
    except ImportError as error:
        hint = 'Run: pip install "callout[cards]" - or save the sheet as CSV.'
        raise CalloutError("Reading a spreadsheet needs python-calamine.", hint) from error
    _refuse_large(path)
    _refuse_spread(path)
    answer = _read_apart(path, most)
    if "error" in answer:
        raise ChecklistInvalid(answer["error"], answer["hint"])
    if "rows" not in answer:
        said = f"{path} would take more than {MEMORY >> 20} MB or {SECONDS} seconds to read."
        raise ChecklistInvalid(said, "Keep one list in the sheet, and delete what is beside it.")
    yield from answer["rows"]


def _read_apart(path: Path, most: int) -> dict[str, Any]:
    """Have the workbook read by a process of its own; nothing is returned when that is ended."""
    process = started(module_command("callout.app.list_files.workbook_process"))
    try:
        told, _ = process.communicate(json.dumps([str(path), most]) + "\n", timeout=SECONDS)
        return dict(json.loads(told)) if told else {}
    except subprocess.TimeoutExpired:
        return {}
    finally:
        end(process)


def first_sheet(path: Path, most: int) -> Iterator[list[str]]:
    """Yield at most ``most`` rows of the first sheet, read here and now."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        with CalamineWorkbook.from_path(path) as book:
            sheet = book.get_sheet_by_index(0)
            _refuse_wide(path, sheet)
            rows = sheet.to_python(nrows=most)
    except (CalamineError, OSError, ValueError) as error:
        raise ChecklistInvalid(f"{path} is not a workbook that can be read.", _AGAIN) from error
    for row in rows:
        yield [_text(cell) for cell in row]


def _text(cell: object) -> str:
    """Return a cell as it is shown: OpenDocument has no whole numbers, so 10.0 is 10."""
    whole = isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15
    return str(int(cell)) if whole and isinstance(cell, float) else str(cell)


def _refuse_large(path: Path) -> None:
    if not path.is_file():
        raise ChecklistInvalid(f"{path} does not exist.", "Check the name.")
    small = path.stat().st_size <= MOST_PACKED
    if small and zipfile.is_zipfile(path):
        try:
            with zipfile.ZipFile(path) as archive:
                small = sum(part.file_size for part in archive.infolist()) <= MOST_UNPACKED
        except zipfile.BadZipFile as error:
            raise ChecklistInvalid(f"{path} is not a workbook that can be read.", _AGAIN) from error
    if not small:
        raise ChecklistInvalid(f"{path} is too large for a list.", "Keep one list in the workbook.")


_PLACE: Final = re.compile(rb'<(?:\w+:)?c [^<>]{0,200}?\br="([A-Z]{1,3})(\d{1,7})"')
_MOST_AT_ONCE: Final = 4_000_000


def _refuse_spread(path: Path) -> None:
    """Refuse a sheet with few cells far apart: the reader makes room for all between them."""
    if not zipfile.is_zipfile(path):
        return
    try:
        with zipfile.ZipFile(path) as archive:
            names = [n for n in archive.namelist() if n.startswith("xl/worksheets/")]
            for name in names:
                rows, columns = _extent(archive, name)
                if rows * columns > MOST_CELLS:
                    raise ChecklistInvalid(*_too_wide(path, rows, columns))
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, RuntimeError) as error:
        raise ChecklistInvalid(f"{path} is not a workbook that can be read.", _AGAIN) from error


def _extent(archive: zipfile.ZipFile, name: str) -> tuple[int, int]:
    rows = columns = 0
    with archive.open(name) as part:
        kept = b""
        while block := part.read(_MOST_AT_ONCE):
            for letters, number in _PLACE.findall(kept + block):
                rows = max(rows, int(number))
                columns = max(columns, _column(letters))
            kept = block[-300:]
    return rows, columns


def _column(letters: bytes) -> int:
    """Return the number of a column: A is 1, XFD 16,384 (ISO/IEC 29500-1, 18.3.1.4)."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _too_wide(path: Path, rows: int, columns: int) -> tuple[str, str]:
    size = f"{rows:,} rows of {columns:,} columns"
    said = f"{path}: a sheet has {size}; {MOST_CELLS:,} cells are read at most."
    return said, "Keep one list in the sheet, and delete what is beside it."


def _refuse_wide(path: Path, sheet: CalamineSheet) -> None:
    if sheet.height * sheet.width > MOST_CELLS:
        raise ChecklistInvalid(*_too_wide(path, sheet.height, sheet.width))
