"""Damaged workbooks (.xlsx, .ods) and tables (.csv), read as ``callout new --from`` does."""

from __future__ import annotations

import io
import random
import zipfile
from pathlib import Path
from typing import Final

from callout.app.authoring.sources import MOST_ROWS, draft_from_file, known_rivals
from callout.app.list_files.workbooks import first_sheet, refuse_costly
from callout.bench.hostile.damage import damaged_bytes, damaged_text, refusal_word
from callout.core.authoring.guesses import draft_of
from callout.core.authoring.texts import read_table
from callout.core.formats.draft_yaml import yaml_of
from callout.errors import CalloutError

_OOXML: Final = "http://schemas.openxmlformats.org"
_MAIN: Final = f"{_OOXML}/spreadsheetml/2006/main"
_LINKS: Final = f"{_OOXML}/package/2006/relationships"
_OASIS: Final = "urn:oasis:names:tc:opendocument:xmlns"
_ROWS: Final = (("Challenge", "Response", "Notes"), ("Fuel pump", "on", "wrong: off"),
                ("Flaps", "10", "set"), ("Doors", "closed and locked", ""), ("Section", "", ""),
                ("Altimeter", "1013", "=1+1"))  # fmt: skip
_PLACES: Final = ("A1", "XFD1048576", "A0", "ZZZZ1", "A99999999999", "B2:A1", "", "-1", "A1048577")


class Workbooks:
    """A small list as a workbook: bytes damaged, or the text of a part before it is packed."""

    suffix = ".bin"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._where = where
        self._kinds = {".xlsx": _xlsx_parts(), ".ods": _ods_parts()}
        self._csv = "\n".join(",".join(row) for row in _ROWS)
        for kind, parts in self._kinds.items():
            assert self.take(_tagged(kind, packed_archive(parts))) == "taken", kind

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged file, after its kind and a line end."""
        kind = rng.choice((".xlsx", ".xlsx", ".ods", ".ods", ".csv", ".tsv", ".xls"))
        if kind in (".csv", ".tsv"):
            text = damaged_text(rng, self._csv.replace(",", rng.choice((",", ";", "\t", ",,"))))
            return _tagged(kind, damaged_bytes(rng, text.encode("utf-8", "replace")))
        parts = dict(self._kinds[kind if kind in self._kinds else ".xlsx"])
        if rng.random() < 0.7:
            name = rng.choice(list(parts))
            parts[name] = _part(rng, parts[name])
        stored = rng.choice((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED))
        whole = packed_archive(parts, stored)
        return _tagged(kind, damaged_bytes(rng, whole) if rng.random() < 0.4 else whole)

    def take(self, data: bytes) -> str:
        """Read it in this process, which has to be confined as the one that reads workbooks is."""
        path = self._kept(data)
        if path.suffix in (".csv", ".tsv"):
            return self.apart(data)
        try:
            refuse_costly(path)
            rows = list(first_sheet(path, MOST_ROWS))
            yaml_of(draft_of(read_table(rows, known_rivals())), teach=False)
        except CalloutError:
            return "refused"
        return "taken"

    def apart(self, data: bytes) -> str:
        """Read it as the command does: workbooks in a process of their own."""
        return taken_as_list(self._kept(data))

    def _kept(self, data: bytes) -> Path:
        kind, _, rest = data.partition(b"\n")
        path = self._where / f"fuzz{kind.decode()}"
        path.write_bytes(rest)
        return path


def taken_as_list(path: Path) -> str:
    """Make a list of ``path`` as the command does; say what became of it."""
    try:
        yaml_of(draft_from_file(path), teach=False)
    except CalloutError as error:
        return refusal_word(error)
    return "taken"


def _tagged(kind: str, data: bytes) -> bytes:
    return kind.encode() + b"\n" + data


def packed_archive(parts: dict[str, str], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return the archive of the parts."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", how) as archive:
        for name, text in parts.items():
            archive.writestr(name, text.encode("utf-8", "replace"))
    return file.getvalue()


def _part(rng: random.Random, text: str) -> str:
    match rng.randrange(4):
        case 0:
            return text.replace(rng.choice(('"A1"', '"B2"', '"A2"')), f'"{rng.choice(_PLACES)}"')
        case 1:
            numbers = ("1", "2", "0", "-1", "4294967295", "1000000", "9" * 30)
            at = text.find('="', rng.randint(0, len(text)))
            end = text.find('"', at + 2)
            return text if at < 0 else f'{text[:at]}="{rng.choice(numbers)}{text[end:]}'
        case 2:
            at = rng.randint(0, len(text))
            return text[:at] + text[at : at + 40] * rng.choice((2, 50, 5_000)) + text[at:]
    return damaged_text(rng, text)


def _xlsx_parts() -> dict[str, str]:
    """Return the least that a workbook needs (ISO/IEC 29500-1, clause 12)."""
    strings = list(dict.fromkeys(text for row in _ROWS for text in row))
    rows = "".join(
        f'<row r="{y}">'
        + "".join(
            f'<c r="{"ABC"[x]}{y}" t="s"><v>{strings.index(text)}</v></c>'
            for x, text in enumerate(row)
        )
        + "</row>"
        for y, row in enumerate(_ROWS, start=1)
    )
    office = f"{_OOXML}/officeDocument/2006/relationships"
    kept = "".join(f"<si><t>{text}</t></si>" for text in strings)
    sheet = '<sheet name="One" sheetId="1" r:id="rId1"/>'
    return {
        "[Content_Types].xml": f'<Types xmlns="{_OOXML}/package/2006/content-types"/>',
        "_rels/.rels": f'<Relationships xmlns="{_LINKS}"><Relationship Id="rId1" '
        f'Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{_MAIN}" xmlns:r="{office}"><sheets>{sheet}</sheets>'
        "</workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{_LINKS}"><Relationship Id="rId1" '
        f'Type="{office}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" '
        f'Type="{office}/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
        "xl/sharedStrings.xml": f'<sst xmlns="{_MAIN}" count="{len(strings)}">{kept}</sst>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{_MAIN}"><dimension ref="A1:C6"/>'
        f"<sheetData>{rows}</sheetData></worksheet>",
    }


def _ods_parts() -> dict[str, str]:
    """Return the least that an OpenDocument sheet needs (ISO/IEC 26300-1)."""
    rows = "".join(
        '<table:table-row table:number-rows-repeated="1">'
        + "".join(
            '<table:table-cell office:value-type="string" table:number-columns-repeated="1">'
            f"<text:p>{text}</text:p></table:table-cell>"
            for text in row
        )
        + "</table:table-row>"
        for row in _ROWS
    )
    spaces = " ".join(f'xmlns:{n}="{_OASIS}:{n}:1.0"' for n in ("office", "table", "text"))
    table = f'<table:table table:name="One">{rows}</table:table>'
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    return {
        "mimetype": kind,
        "META-INF/manifest.xml": f'<m:manifest xmlns:m="{_OASIS}:manifest:1.0"><m:file-entry '
        f'm:full-path="/" m:media-type="{kind}"/></m:manifest>',
        "content.xml": f"<office:document-content {spaces}><office:body><office:spreadsheet>{table}"
        "</office:spreadsheet></office:body></office:document-content>",
    }
