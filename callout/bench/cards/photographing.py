"""A printed page as a phone sees it: on a table, tilted, in a shadow, blurred, noisy."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Picture = NDArray[np.uint8]

DPI: Final = 190


@dataclass(frozen=True, slots=True)
class Camera:
    """How bad a picture is; 0 means perfect."""

    tilt: float = 0.0
    """Degrees."""
    perspective: float = 0.0
    """Share of the page's width by which corners are moved."""
    blur: float = 0.0
    """Blur in pixels, standard deviation."""
    shadow: float = 0.0
    """Share of light missing at the darkest point."""
    noise: float = 0.0
    """Grey levels, standard deviation."""
    glare: float = 0.0
    """Share of the ink hidden at the brightest point, as on a laminated card under a lamp."""
    quality: int = 85
    """JPEG quality."""
    quarters: int = 0
    """Rotation in quarter turns."""
    table: bool = True
    """The page lies on a table; False: a scan, the page fills the picture."""


def drawn_pdf(data: bytes, number: int = 0) -> Picture:
    """Return a page of a PDF as a picture."""
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    return np.asarray(document[number].render(scale=DPI / 72).to_pil().convert("RGB"), np.uint8)


def take_photo(page: Picture, camera: Camera, seed: int) -> bytes:
    """Return ``page`` as a JPEG taken with ``camera``, the same for the same seed."""
    import cv2

    rng = np.random.default_rng(seed)
    picture = _on_table(page, camera, seed) if camera.table else page.copy()
    seen: Any = _lit(picture.astype(np.float32), camera, rng)
    seen = _with_glare(seen, camera.glare, rng)
    if camera.blur:
        seen = cv2.GaussianBlur(seen, (0, 0), camera.blur)
    if camera.noise:
        seen = seen + rng.normal(0, camera.noise, seen.shape)
    made = np.rot90(np.clip(seen, 0, 255).astype(np.uint8), camera.quarters)
    _, data = cv2.imencode(
        ".jpg", np.ascontiguousarray(made[:, :, ::-1]), [cv2.IMWRITE_JPEG_QUALITY, camera.quality]
    )
    return bytes(data.tobytes())


def _on_table(page: Picture, camera: Camera, seed: int) -> Picture:
    import cv2

    chance = random.Random(seed)
    height, width = page.shape[:2]
    pad = int(0.12 * max(height, width))
    size = (width + 2 * pad, height + 2 * pad)
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
    moved = corners + pad
    for corner in moved:
        corner += [chance.uniform(-1, 1) * camera.perspective * width for _ in range(2)]
    turn = cv2.getRotationMatrix2D((size[0] / 2, size[1] / 2), camera.tilt, 0.94)
    moved = (np.c_[moved, np.ones(4)] @ turn.T).astype(np.float32)
    matrix = cv2.getPerspectiveTransform(corners, moved)
    table = np.full((size[1], size[0], 3), (92, 70, 52), np.float32)
    grain = np.random.default_rng(seed).normal(0, 9, (size[1], 1, 1))
    table = np.clip(table + grain, 0, 255).astype(np.uint8)
    cv2.warpPerspective(page, matrix, size, table, cv2.INTER_AREA, cv2.BORDER_TRANSPARENT)
    return np.asarray(table, np.uint8)


def _with_glare(
    picture: NDArray[np.float32], glare: float, rng: np.random.Generator
) -> NDArray[np.float32]:
    if not glare:
        return picture
    height, width = picture.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    across, down = rng.uniform(0.3, 0.7, 2)
    away = ((x / width - across) / 0.22) ** 2 + ((y / height - down) / 0.12) ** 2
    share = (glare * np.exp(-away))[:, :, None]
    return np.asarray(picture + (255 - picture) * share, np.float32)


def _lit(
    picture: NDArray[np.float32], camera: Camera, rng: np.random.Generator
) -> NDArray[np.float32]:
    if not camera.shadow:
        return picture
    height, width = picture.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    along = (x / width - 0.5) * np.cos(angle) + (y / height - 0.5) * np.sin(angle)
    edge = 1 / (1 + np.exp(-along * rng.uniform(6, 25)))
    return np.asarray(picture * (1 - camera.shadow * edge)[:, :, None], np.float32)
