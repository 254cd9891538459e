"""Damaged PDF, photographs and Word files, read as ``callout new --from`` does."""

from __future__ import annotations

import io
import random
import re
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Final

from callout.app.authoring.sources import known_rivals
from callout.bench.hostile.damage import damaged_bytes, damaged_text, refusal_word
from callout.bench.hostile.workbooks import packed_archive, taken_as_list
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.errors import CalloutError

LINES: Final = ("TAXI CHECKLIST", "Brakes .... tested", "Altimeter .... ____ hPa", "Flaps .... up")
_NUMBERS: Final = ("0", "-1", "4294967295", "1e38", "9" * 30, "2147483648", "0.0000001", "65536")


class Papers:
    """Files of one kind, tried in this process or, as the command does, in one of their own."""

    suffix = ".bin"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._path = where / f"fuzz{self.suffix}"

    def apart(self, data: bytes) -> str:
        """Read it as the command does: in a process of its own."""
        return taken_as_list(self._kept(data))

    def _kept(self, data: bytes) -> Path:
        self._path.write_bytes(data)
        return self._path


class Pdfs(Papers):
    """A page of a list as PDF (ISO 32000), its structure in plain letters."""

    suffix = ".pdf"
    slow_s = 8.0

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged one."""
        data = _pdf(_page_stream(rng))
        for _ in range(rng.choice((1, 1, 2, 4))):
            data = rng.choice(_PDF_DAMAGES)(rng, data)
        return data

    def take(self, data: bytes) -> str:
        """Read words and draw pages; letters in pictures are left to ``apart``."""
        from callout.app.authoring.pdf_pages import drawn_page, open_pdf, pdf_pages

        try:
            document = open_pdf(self._kept(data))
            for page in pdf_pages(document, self._path):
                drawn_page(document, self._path, page.number, 60)
                read_rows(page_rows(page), known_rivals())
        except CalloutError as error:
            return refusal_word(error)
        except MemoryError:
            return "stopped"
        return "taken"


def _page_stream(rng: random.Random) -> bytes:
    lines = [f"BT /F1 12 Tf 60 {740 - 20 * n} Td ({line}) Tj ET" for n, line in enumerate(LINES)]
    more = rng.choice(
        ("", "q " * 5_000, "60 600 20 1 re f " * 5_000, "(a) Tj " * 20_000, "1e30 w ")
    )
    return "\n".join([*lines, more]).encode()


def _pdf(stream: bytes) -> bytes:
    """Return the least that a PDF of one page needs."""
    parts = (
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Rotate 0 "
        b"/Resources << /Font << /F1 5 0 R >> >> /Contents 4 0 R >>",
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(stream), stream),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    )
    made, places = b"%PDF-1.7\n", []
    for number, part in enumerate(parts, start=1):
        places.append(len(made))
        made += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    table = b"".join(b"%010d 00000 n \n" % at for at in places)
    return (
        made + b"xref\n0 6\n0000000000 65535 f \n" + table
        + b"trailer << /Size 6 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % len(made)
    )  # fmt: skip


def _other_number(rng: random.Random, data: bytes) -> bytes:
    found = list(re.finditer(rb"(?<![\d.])\d+(?:\.\d+)?", data))
    if not found:
        return data
    one = rng.choice(found)
    return data[: one.start()] + rng.choice(_NUMBERS).encode() + data[one.end() :]


def _to_itself(rng: random.Random, data: bytes) -> bytes:
    """Let an object refer to another one, or to itself."""
    found = list(re.finditer(rb"\d 0 R", data))
    if not found:
        return data
    one = rng.choice(found)
    return data[: one.start()] + b"%d 0 R" % rng.randrange(7) + data[one.end() :]


def _deep(rng: random.Random, data: bytes) -> bytes:
    what = rng.choice((b"[", b"<<", b"(", b"<< /A "))
    return data.replace(b"/Rotate 0", b"/Rotate " + what * rng.choice((50, 5_000, 100_000)), 1)


def _bomb(rng: random.Random, data: bytes) -> bytes:
    """Put a stream in that grows a thousandfold when it is unpacked."""
    packed_stream = zlib.compress(b" " * rng.choice((1_000_000, 60_000_000)), 9)
    head = b"<< /Filter /FlateDecode /Length %d >>" % len(packed_stream)
    return re.sub(
        rb"<< /Length \d+ >>\nstream\n.*?\nendstream",
        lambda _: head + b"\nstream\n" + packed_stream + b"\nendstream",
        data, count=1, flags=re.DOTALL,
    )  # fmt: skip


def _locked(rng: random.Random, data: bytes) -> bytes:
    lock = b"/Encrypt << /Filter /Standard /V %d /R 6 /O (x) /U (y) /P -4 >>" % rng.randrange(9)
    return data.replace(b"/Root", lock + b" /Root", 1)


_PDF_DAMAGES: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    damaged_bytes, damaged_bytes, _other_number, _other_number, _to_itself, _deep, _bomb, _locked,
)  # fmt: skip


_PICTURE: Final = re.compile(r"<Relationship [^>]*thumbnail[^>]*/>")


class Documents(Papers):
    """A small list as a Word file (ISO/IEC 29500): bytes damaged, or the text of a part."""

    suffix = ".docx"

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged one."""
        parts = _docx_parts()
        if rng.random() < 0.75:
            name = rng.choice([*parts, "word/document.xml", "word/document.xml"])
            parts[name] = _hurt_part(rng, parts[name])
        whole = packed_archive(parts)
        return damaged_bytes(rng, whole) if rng.random() < 0.35 else whole

    def take(self, data: bytes) -> str:
        """Read it in this process, which has to be confined as the one that reads papers is."""
        from callout.app.authoring.word_rows import word_rows

        try:
            read_rows(list(word_rows(self._kept(data))), known_rivals())
        except CalloutError as error:
            return refusal_word(error)
        except MemoryError:
            return "stopped"
        return "taken"


def _hurt_part(rng: random.Random, text: str) -> str:
    match rng.randrange(5):
        case 0:
            names = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 9}">' for n in range(1, 9))
            return f'<!DOCTYPE x [<!ENTITY e0 "aaaa">{names}]>' + text.replace("Brakes", "&e8;")
        case 1:
            return text.replace('w:val="2"', f'w:val="{rng.choice(_NUMBERS)}"')
        case 2:
            cell = re.search(r"<w:tc>.*?</w:tc>", text)
            many = (cell[0] if cell else "") * rng.choice((50, 3_000))
            return text.replace("</w:tr>", f"{many}</w:tr>", 1)
        case 3:
            deep = rng.choice((20, 400, 5_000))
            inner = "<w:tbl><w:tr><w:tc>" * deep + "<w:p/>" + "</w:tc></w:tr></w:tbl>" * deep
            return text.replace("<w:sectPr/>", f"{inner}<w:sectPr/>")
    return damaged_text(rng, text)


def _docx_parts() -> dict[str, str]:
    """Return the parts of a small Word file, as the library for them writes it."""
    import zipfile

    import docx

    document = docx.Document()
    document.add_heading("Taxi checklist", 1)
    for line in LINES[1:]:
        document.add_paragraph(line)
    table = document.add_table(rows=2, cols=2)
    for row, line in zip(table.rows, LINES[1:], strict=False):
        row.cells[0].text, row.cells[1].text = line.split(" .... ")
    table.rows[1].cells[0].merge(table.rows[1].cells[1])
    file = io.BytesIO()
    document.save(file)
    with zipfile.ZipFile(file) as archive:
        return {
            name: _PICTURE.sub("", archive.read(name).decode("utf-8"))
            for name in archive.namelist()
            if name.endswith((".xml", ".rels"))
        }
