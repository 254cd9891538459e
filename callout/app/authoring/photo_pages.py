"""A photograph or scan as words with positions, read by RapidOCR (in a process of its own).

Its models come in its wheel (PP-OCR, Apache-2.0); it needs no network, and its process has none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from callout.app.authoring.photo_dots import LEADER_TEXT, dot_rows, without_dots
from callout.app.authoring.photo_frames import boxed
from callout.app.authoring.photo_ink import unread_ink
from callout.app.authoring.photo_shape import (
    dark_on_light,
    even_light,
    flat_picture,
    sized_picture,
    turned_picture,
)
from callout.app.authoring.photo_spaces import spaced_words
from callout.app.authoring.photo_strokes import level_strokes, without_edges
from callout.app.authoring.photo_struck import with_struck
from callout.app.authoring.photo_uprights import upright_strokes
from callout.core.paper.blanks import BLANK
from callout.core.paper.levelling import Piece, levelled_pieces
from callout.core.paper.page import Box, Page, Word
from callout.core.sentences import authoring as say
from callout.errors import CalloutError, ChecklistInvalid

if TYPE_CHECKING:
    from callout.app.authoring.photo_shape import Picture

_FORMATS: Final = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
MOST_PIXELS: Final = 80_000_000
_MOST_FRAMES: Final = 20
_MODELS: Final = {
    "Det.model_path": "PP-OCRv6_det_small.onnx",
    "Rec.model_path": "PP-OCRv6_rec_small.onnx",
    "Cls.model_path": "ch_ppocr_mobile_v2.0_cls_mobile.onnx",
}
_SIGNS: Final = str.maketrans({
    "\u2103": "\u00b0C", "\u2109": "\u00b0F", "\u300a": "\u00ab", "\u300b": "\u00bb",
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
})  # fmt: skip
"""Signs of other typefaces that cards do not have."""
_O_IN_CAPITALS: Final = re.compile(r"(?<![A-Za-z0-9.,])0(?=[A-Z]{1,12}(?![A-Za-z0-9]))")
"""What begins "0R", "0VER" and the second half of "TAKE-0FF"."""
_SUREST: Final = 0.999
"""Letters of a picture are never certain: 1 is kept for a PDF."""
_WELL_READ: Final = 0.85
"""Mean confidence above which a page is not considered upside down."""


def open_photos(path: Path) -> Iterator[Picture]:
    """Yield the pictures in ``path``, upright according to the camera; raise ChecklistInvalid."""
    from PIL import Image, ImageOps, ImageSequence

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        with Image.open(path, formats=_FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise ChecklistInvalid(say.photo_too_large(path), say.SMALLER_PHOTO)
            for number, frame in enumerate(ImageSequence.Iterator(opened)):
                if number >= _MOST_FRAMES:
                    raise ChecklistInvalid(
                        say.too_many_pages(path, number + 1, _MOST_FRAMES), say.ONE_LIST_A_FILE
                    )
                upright = ImageOps.exif_transpose(frame)
                yield np.asarray(upright.convert("RGB"), np.uint8)
    except _damaged_errors() as error:
        raise ChecklistInvalid(say.photo_unreadable(path), say.SAVE_PHOTO_AGAIN) from error


def _damaged_errors() -> tuple[type[Exception], ...]:
    """Return what damaged pictures raise."""
    from PIL import Image, UnidentifiedImageError

    bomb = (Image.DecompressionBombError, Image.DecompressionBombWarning)
    return (UnidentifiedImageError, OSError, ValueError, SyntaxError, *bomb)


class PhotoReader:
    """Reads letters; created once, since its models take a moment to load."""

    def __init__(self) -> None:
        try:
            import onnxruntime
            import rapidocr
        except ImportError as error:
            raise CalloutError(say.PHOTOS_NEED, say.INSTALL_PHOTOS) from error
        onnxruntime.disable_telemetry_events()
        onnxruntime.set_default_logger_severity(3)
        folder = Path(rapidocr.__file__).parent / "models"
        models = {key: str(folder / name) for key, name in _MODELS.items()}
        if not all(Path(name).is_file() for name in models.values()):
            raise CalloutError(say.PHOTO_MODELS_MISSING, say.INSTALL_PHOTOS)
        self._engine: Any = rapidocr.RapidOCR(
            params={
                **models,
                "Global.log_level": "critical",
                "Global.return_word_box": True,
                "Global.text_score": 0.3,
                "Global.max_side_len": 2400,
                "Det.limit_type": "max",
                "Det.limit_side_len": 1600,
                "EngineConfig.onnxruntime.intra_op_num_threads": 2,
            }
        )

    def read_photo(self, picture: Picture, number: int) -> tuple[Page, Picture]:
        """Return the page in ``picture``, and the picture to which its positions refer."""
        picture = dark_on_light(sized_picture(flat_picture(sized_picture(picture))))
        picture, pieces = self._upright(picture)
        turned = tuple(w for p in pieces if _is_on_its_side(p) for w in p.words)
        upright = [p for p in pieces if not _is_on_its_side(p)]
        bare = even_light(without_dots(picture, dot_rows(picture)[1]))
        height, width = picture.shape[:2]
        straight, move = levelled_pieces(upright)
        words = tuple(word for piece in straight for word in piece.words)
        heights = [w.box.height for w in words if w.text != LEADER_TEXT]
        letter = float(np.median(heights)) if heights else 20.0
        found = level_strokes(bare, letter * 0.8)
        seen = [Box(*s) for s in without_edges(found.drawn, picture)]
        boxes, drawn = boxed(bare, seen, [w for p in upright for w in p.words], letter)
        frames, strokes, faint = (
            tuple(map(move, part)) for part in (boxes, drawn, (Box(*s) for s in found.faint))
        )
        strokes += tuple(map(move, upright_strokes(bare, letter)))
        unread = tuple(move(Box(*ink)) for ink in unread_ink(bare, pieces, letter * 0.8))
        page = Page(
            number, float(width), float(height), words, strokes, frames, faint, turned, unread
        )
        return page, picture

    def _upright(self, picture: Picture) -> tuple[Picture, list[Piece]]:
        pieces = self._pieces(picture)
        if pieces and _mostly_tall(pieces):
            picture = turned_picture(picture, 1)
            pieces = self._pieces(picture)
        if pieces and _sureness(pieces) < _WELL_READ:
            other = turned_picture(picture, 2)
            found = self._pieces(other)
            if _sureness(found) > _sureness(pieces) + 0.05:
                return other, found
        return picture, pieces

    def _pieces(self, picture: Picture) -> list[Piece]:
        leaders, mask = dot_rows(picture)
        read = self._read_pieces(without_dots(picture, mask))
        return [*read, *(row.as_piece() for row in leaders)]

    def _read_pieces(self, picture: Picture) -> list[Piece]:
        found = self._engine(picture[:, :, ::-1], use_cls=False)
        if found.boxes is None:
            return []
        grey = np.asarray(picture.mean(axis=2), np.uint8)
        results = found.word_results or [()] * len(found.boxes)
        pieces = [
            made
            for box, text, score, words in zip(
                found.boxes, found.txts, found.scores, results, strict=False
            )
            if (made := _made_piece(np.asarray(box, float), text, float(score), words)) is not None
        ]
        spaced = (replace(p, words=tuple(spaced_words(p.words, grey))) for p in pieces)
        return [replace(p, words=tuple(with_struck(p.words, grey))) for p in spaced]


def _made_piece(corners: Any, text: str, score: float, words: Any) -> Piece | None:
    quad = tuple((float(x), float(y)) for x, y in corners)
    text = text.translate(_SIGNS)
    if not text.strip():
        return None
    found = [w for w in (_made_word(word) for word in words or ()) if w is not None]
    whole = Box(
        min(x for x, _ in quad), min(y for _, y in quad),
        max(x for x, _ in quad), max(y for _, y in quad),
    )  # fmt: skip
    plain = re.sub(r"[\s_]+", "", "".join(w.text for w in found))
    if plain != re.sub(r"[\s_]+", "", text):
        found = [Word(text.strip(), whole, min(score, _SUREST))]
    return Piece(quad, tuple(_mended_words(found)), score)


def _mended_words(words: list[Word]) -> Iterator[Word]:
    """Yield words; a lone "I" after a number is the unit "l", which looks the same, and a blank is
    one blank.
    """
    last = ""
    for word in words:
        text = word.text
        if text == "I" and last[-1:].isdigit():
            text = "l"
        if last.endswith(BLANK):  # one blank, of which both words hold a part
            text = text.removeprefix(BLANK).strip()
        text = "lb" if text == "|b" else text
        text = _O_IN_CAPITALS.sub("O", text)
        last = word.text
        if text:
            yield replace(word, text=text)


def _made_word(word: Any) -> Word | None:
    text, score, corners = word
    if not str(text).strip():
        return None
    text = " ".join(re.sub(r"_+", f" {BLANK} ", str(text).translate(_SIGNS)).split())
    xs, ys = [float(x) for x, _ in corners], [float(y) for _, y in corners]
    sure = min(float(score), _SUREST)
    return Word(text, Box(min(xs), min(ys), max(xs), max(ys)), sure)


def _mostly_tall(pieces: list[Piece]) -> bool:
    tall = sum(p.height > 1.6 * p.width for p in pieces)
    wide = sum(p.width > 1.6 * p.height for p in pieces)
    return tall > wide


def _is_on_its_side(piece: Piece) -> bool:
    """Say whether words run up or down the page, as the name of a section beside its items may."""
    letters = sum(len(word.text) for word in piece.words)
    return letters > 2 and piece.height > 1.6 * piece.width


def _sureness(pieces: list[Piece]) -> float:
    letters = [
        (p.score, sum(len(w.text) for w in p.words if w.text != LEADER_TEXT)) for p in pieces
    ]
    whole = sum(count for _, count in letters)
    return sum(score * count for score, count in letters) / whole if whole else 0.0
