"""The process that reads one paper: ``python -m callout.app.authoring.paper_process``.

It is given a path and answers in one JSON object. The paper may come from anybody, and the
libraries that read it are large: in this process they cannot change a file, reach a network, or
exceed their memory limit.
"""

from __future__ import annotations

import base64
import io
import json
import sys
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from callout.app.authoring.paper import DOCUMENTS, MEMORY, PDF
from callout.core.paper.page import Page
from callout.core.sentences import authoring as say
from callout.errors import CalloutError
from callout.store.confinement import limit_memory, only_read

if TYPE_CHECKING:
    from PIL.Image import Image

_SHOWN: Final = 1500
"""Pixels of the longer side of a page's picture: enough to read a line of it."""


def main() -> None:
    """Read the paper that the first line of input names."""
    path = Path(json.loads(sys.stdin.readline()))
    only_read()
    limit_memory(MEMORY)
    sys.stdout.write(json.dumps(_read_file(path)))


def _read_file(path: Path) -> dict[str, Any]:
    try:
        if path.suffix.casefold() in DOCUMENTS:
            from callout.app.authoring.word_rows import word_rows

            return {"rows": [asdict(row) for row in word_rows(path)]}
        pages: list[dict[str, Any]] = []
        pictures: dict[str, str] = {}
        for page, picture in _read_pages(path):
            pages.append(asdict(page))
            pictures[str(page.number)] = _packed(picture)
        return {"pages": pages, "pictures": pictures}
    except CalloutError as error:
        return {"error": error.message, "hint": error.hint}
    except MemoryError:
        return {}
    except Exception:  # whatever the libraries raise over a damaged file
        kind = path.suffix.casefold()
        if kind in DOCUMENTS:
            return {"error": say.word_unreadable(path), "hint": say.SAVE_WORD_AGAIN}
        if kind in PDF:
            return {"error": say.pdf_unreadable(path), "hint": say.SAVE_PDF_AGAIN}
        return {"error": say.photo_unreadable(path), "hint": say.SAVE_PHOTO_AGAIN}


def _read_pages(path: Path) -> Iterator[tuple[Page, Image]]:
    if path.suffix.casefold() in PDF:
        yield from _pdf_pages(path)
        return
    from PIL import Image as images

    from callout.app.authoring.photo_pages import PhotoReader, open_photos

    reader: Any = None
    for number, picture in enumerate(open_photos(path), start=1):
        reader = reader or PhotoReader()
        page, flat = reader.read_photo(picture, number)
        yield page, images.fromarray(flat)


def _pdf_pages(path: Path) -> Iterator[tuple[Page, Image]]:
    from callout.app.authoring.pdf_pages import drawn_page, is_scan, open_pdf, pdf_pages

    document = open_pdf(path)
    reader: Any = None
    for page in pdf_pages(document, path):
        if not is_scan(page):
            yield page, drawn_page(document, path, page.number, 110)
            continue
        picture = drawn_page(document, path, page.number)
        if not _is_inked(picture):
            continue
        import numpy as np
        from PIL import Image as images

        from callout.app.authoring.photo_pages import PhotoReader

        reader = reader or PhotoReader()
        read, flat = reader.read_photo(np.asarray(picture, np.uint8), page.number)
        yield read, images.fromarray(flat)


def _is_inked(picture: Image) -> bool:
    """Say whether there is anything on a page."""
    low, high = picture.convert("L").getextrema()
    return isinstance(low, int) and isinstance(high, int) and high - low > 40


def _packed(picture: Image) -> str:
    small = picture.copy()
    small.thumbnail((_SHOWN, _SHOWN))
    held = io.BytesIO()
    small.save(held, "JPEG", quality=70)
    return base64.b64encode(held.getvalue()).decode("ascii")


if __name__ == "__main__":
    main()
