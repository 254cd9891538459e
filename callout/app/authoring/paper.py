"""Reads paper (PDF, photographs, scans) and Word files in a process that can do no harm."""

from __future__ import annotations

import base64
import json
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import cattrs

from callout.core.paper.page import Page, Row
from callout.core.sentences import authoring as say
from callout.errors import CalloutError, ChecklistInvalid
from callout.own_process import end_process, module_command, start_process

PDF: Final = (".pdf",)
PHOTOS: Final = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".bmp")
PAPER: Final = (*PDF, *PHOTOS)
DOCUMENTS: Final = (".docx",)
MOST_BYTES: Final = 60_000_000
MEMORY: Final = 3 << 30
"""Bytes that reading may use: the letters of a large photograph need two thirds of this."""
SECONDS: Final = 600
"""A photographed page takes some seconds; a slow machine may need a minute for each."""


@dataclass(frozen=True, slots=True)
class Paper:
    """Pages as read, and their pictures."""

    pages: tuple[Page, ...]
    pictures: Mapping[int, bytes]
    """Page -> JPEG, in the proportions of the page."""


def read_paper(path: Path) -> Paper:
    """Read a PDF, a photograph or a scan; raise CalloutError with one sentence."""
    if path.suffix.casefold() in PDF:
        _need("pypdfium2", say.PDF_NEEDS, say.INSTALL_PAPER)
        _need("PIL", say.PDF_NEEDS, say.INSTALL_PAPER)
    else:
        for name in ("rapidocr", "onnxruntime", "PIL"):
            _need(name, say.PHOTOS_NEED, say.INSTALL_PHOTOS)
    answer = _read_apart(path)
    pages = cattrs.structure(answer["pages"], tuple[Page, ...])
    pictures = {int(n): base64.b64decode(data) for n, data in answer["pictures"].items()}
    return Paper(pages, pictures)


def read_document(path: Path) -> tuple[Row, ...]:
    """Read a Word file; raise CalloutError with one sentence."""
    _need("docx", say.WORD_NEEDS, say.INSTALL_PAPER)
    return cattrs.structure(_read_apart(path)["rows"], tuple[Row, ...])


def _need(module: str, said: str, hint: str) -> None:
    if find_spec(module) is None:
        raise CalloutError(said, hint)


def _read_apart(path: Path) -> dict[str, Any]:
    if not path.is_file():
        raise ChecklistInvalid(say.no_such_file(path), say.CHECK_NAME)
    if path.stat().st_size > MOST_BYTES:
        raise ChecklistInvalid(say.file_too_large(path, MOST_BYTES), say.ONE_LIST_A_FILE)
    process = start_process(module_command("callout.app.authoring.paper_process"))
    try:
        told, _ = process.communicate(json.dumps(str(path.absolute())) + "\n", timeout=SECONDS)
        answer: dict[str, Any] = json.loads(told) if told else {}
    except subprocess.TimeoutExpired:
        answer = {}
    finally:
        end_process(process)
    if "error" in answer:
        raise ChecklistInvalid(
            answer["error"].replace(str(path.absolute()), str(path)), answer["hint"]
        )
    if not answer:
        raise ChecklistInvalid(say.too_costly(path, MEMORY, SECONDS), say.ONE_LIST_A_FILE)
    return answer
