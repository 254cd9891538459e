"""The pages of a PDF as words and strokes, read by pypdfium2 (runs in a process of its own).

pypdfium2 contains the PDF library of a browser, which has been exposed to hostile files for a
decade; it also draws the pages, for scans and for the picture beside each guess.
"""

from __future__ import annotations

import contextlib
import ctypes
import math
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from callout.app.authoring.pdf_shading import is_shaded, without_shading
from callout.app.authoring.pdf_words import Letter, letter_words, turned_words
from callout.core.paper.page import Box, Page, Word
from callout.core.sentences import authoring as say
from callout.errors import ChecklistInvalid

if TYPE_CHECKING:
    from PIL.Image import Image
    from pypdfium2 import PdfDocument, PdfPage

MOST_PAGES: Final = 60
_MOST_LETTERS: Final = 60_000
_FEW_LETTERS: Final = 12
"""A page with fewer letters is a picture of a page."""
_BOLD: Final = 600
_THIN: Final = 3.0
"""Points; the maximum thickness of a stroke."""
_ONE_LINE, _WIDE = 40.0, 300.0
"""Points: height of a field for one line, and width from which it runs across a page."""
_DOT: Final = 2.0
"""Points; a dot of a dotted rule is no larger."""
SCAN_DPI: Final = 200


def open_pdf(path: Path) -> PdfDocument:
    """Open ``path``; raise ChecklistInvalid when it is damaged, locked or too long."""
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(path)
        count = len(document)
    except pypdfium2.PdfiumError as error:
        locked = "password" in str(error).casefold()
        said = say.pdf_locked(path) if locked else say.pdf_unreadable(path)
        raise ChecklistInvalid(said, say.SAVE_PDF_AGAIN) from error
    if count > MOST_PAGES:
        raise ChecklistInvalid(say.too_many_pages(path, count, MOST_PAGES), say.ONE_LIST_A_FILE)
    return document


def pdf_pages(document: PdfDocument, path: Path) -> Iterator[Page]:
    """Yield the pages; a page without text has no words."""
    for number in range(len(document)):
        with _one_sentence(path):
            page = _read_page(document[number], number + 1)
        yield page


@contextlib.contextmanager
def _one_sentence(path: Path) -> Iterator[None]:
    """Turn what the library raises over a damaged page into one sentence."""
    try:
        yield
    except (
        pdfium_error(),
        KeyError,
    ) as error:  # KeyError: a page without a readable rotation
        raise ChecklistInvalid(say.pdf_unreadable(path), say.SAVE_PDF_AGAIN) from error


def is_scan(page: Page) -> bool:
    """Say whether a page has hardly any letters, and so is a picture."""
    return sum(len(word.text) for word in page.words) < _FEW_LETTERS


def drawn_page(document: PdfDocument, path: Path, number: int, dpi: float = SCAN_DPI) -> Image:
    """Return page ``number`` (from 1) as a picture."""
    with _one_sentence(path):
        page = document[number - 1]
        longest = max(page.get_size())
        scale = min(dpi / 72, 4000 / max(longest, 1))
        picture: Image = page.render(scale=scale).to_pil()
    return picture.convert("RGB")


def _read_page(page: PdfPage, number: int) -> Page:
    width, height = page.get_size()
    turn = _turned(page)
    letters, turned = _level_letters(list(_letters(page, turn)))
    words = tuple(letter_words(letters))
    strokes, frames, bands = _drawn_lines(page, turn, words)
    aside = tuple(turned_words(turned))
    drawn = tuple(strokes), tuple(frames)
    return Page(number, width, height, words, *drawn, turned=aside, bands=tuple(bands))


def _turned(page: PdfPage) -> Any:
    """Return a function that converts positions on the page to positions seen from the top left."""
    left, bottom, right, top = page.get_bbox()  # the box of a page may be inherited from all pages
    rotation = page.get_rotation() % 360

    def turn(x0: float, y0: float, x1: float, y1: float) -> Box:
        x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
        if rotation == 90:
            return Box(y0 - bottom, x0 - left, y1 - bottom, x1 - left)
        if rotation == 180:
            return Box(right - x1, y0 - bottom, right - x0, y1 - bottom)
        if rotation == 270:
            return Box(top - y1, right - x1, top - y0, right - x0)
        return Box(x0 - left, top - y1, x1 - left, top - y0)

    return turn


def _letters(page: PdfPage, turn: Any) -> Iterator[Letter]:
    import pypdfium2.raw as pdfium

    text = page.get_textpage()
    flags = ctypes.c_int()
    name = ctypes.create_string_buffer(200)
    for at in range(min(text.count_chars(), _MOST_LETTERS)):
        code = pdfium.FPDFText_GetUnicode(text, at)
        if code in (0, 0xFFFE, 0xFFFF) or 0xD800 <= code <= 0xDFFF or code > 0x10FFFF:
            continue
        if pdfium.FPDFText_IsGenerated(text, at) == 1:
            continue  # the library's own idea of where a word or line ends: the gaps say it better
        sign = chr(code)
        if sign.isspace() or code < 32:
            yield Letter(" ", Box(0, 0, 0, 0), False, True)
            continue
        try:
            box = turn(*text.get_charbox(at, loose=True))
        except (pdfium_error(), ValueError):
            continue
        if not all(map(math.isfinite, (box.left, box.top, box.right, box.bottom))):
            continue
        named = pdfium.FPDFText_GetFontInfo(text, at, name, 200, flags)
        font = name.value.lower() if named else b""
        bold = pdfium.FPDFText_GetFontWeight(text, at) >= _BOLD or any(
            word in font for word in (b"bold", b"black")
        )
        angle = round(math.degrees(pdfium.FPDFText_GetCharAngle(text, at)) / 10) % 36
        yield Letter(sign, box, bold, False, angle, _pen(text, at, turn), font)


def _pen(text: Any, at: int, turn: Any) -> float | None:
    """Return where the pen was when a letter was set; None: the file does not say."""
    import pypdfium2.raw as pdfium

    x, y = ctypes.c_double(), ctypes.c_double()
    if not pdfium.FPDFText_GetCharOrigin(text, at, x, y):
        return None
    left: float = turn(x.value, y.value, x.value, y.value).left
    return left if math.isfinite(left) else None


def _level_letters(letters: list[Letter]) -> tuple[list[Letter], list[Letter]]:
    """Return the letters with the usual orientation, and the others.

    Section names may be printed vertically beside items.
    """
    angles = Counter(letter.angle for letter in letters if not letter.space)
    usual = angles.most_common(1)[0][0] if angles else 0
    level = [letter for letter in letters if letter.space or letter.angle == usual]
    return level, [letter for letter in letters if letter.space or letter.angle != usual]


def pdfium_error() -> type[Exception]:
    """Return what the library raises."""
    import pypdfium2

    error: type[Exception] = pypdfium2.PdfiumError
    return error


def _drawn_lines(
    page: PdfPage, turn: Any, words: Sequence[Word]
) -> tuple[list[Box], list[Box], list[Box]]:
    """Return (strokes, frames, wide bands): a rectangle is a frame, its sides are also strokes."""
    import pypdfium2.raw as pdfium

    strokes: list[Box] = []
    frames: list[Box] = []
    shaded: list[Box] = []
    bands: list[Box] = []
    for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=4):
        try:
            box = turn(*thing.get_bounds())
        except pdfium_error():
            continue
        if len(strokes) + len(frames) > 4000:
            break
        if max(box.width, box.height) <= _DOT:
            continue
        if box.height <= _THIN or box.width <= _THIN:
            strokes.append(box)
        elif box.height < _ONE_LINE and box.width < _WIDE:
            frames.append(box)
            shaded += [box] if is_shaded(thing) else []
        elif box.height < _ONE_LINE and is_shaded(thing):
            bands.append(box)
    return strokes, without_shading(frames, shaded, words), bands
