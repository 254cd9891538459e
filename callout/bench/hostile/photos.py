"""Damaged pictures, read like photographs of a list, each in a process of its own."""

from __future__ import annotations

import io
import random
import struct
import zlib
from typing import TYPE_CHECKING, Final

from callout.bench.hostile.damage import damaged_bytes
from callout.bench.hostile.papers import LINES, Papers

if TYPE_CHECKING:
    from PIL.Image import Image

_FORMATS: Final = ("JPEG", "JPEG", "PNG", "PNG", "TIFF", "WEBP", "BMP")


class Photos(Papers):
    """A small page of a list as a picture; what is in the file decides, not its name."""

    suffix = ".png"
    slow_s = 90.0
    """A page of letters takes some seconds; on a busy machine many."""
    apart_only = True

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged picture, or one that is no page."""
        match rng.randrange(8):
            case 0:
                return _claimed_png(rng)
            case 1:
                return _saved(rng, _no_page(rng), "PNG")
            case 2:
                return _many_frames(rng)
            case 3:
                return rng.choice(
                    (b"", b"%PDF-1.7\n", b"GIF89a\x01\x00", b"<svg/>", rng.randbytes(99))
                )
        whole = _saved(rng, _page(rng), rng.choice(_FORMATS))
        return whole if rng.random() < 0.15 else damaged_bytes(rng, whole)

    def take(self, data: bytes) -> str:
        """Read it as the command does."""
        return self.apart(data)


def _page(rng: random.Random) -> Image:
    from PIL import Image as images
    from PIL import ImageDraw

    picture = images.new("RGB", (rng.choice((420, 640)), 300), (250, 248, 240))
    draw = ImageDraw.Draw(picture)
    for at, line in enumerate(LINES):
        draw.text((20, 30 + 50 * at), line, fill=(10, 10, 10), font_size=24)
    return picture.rotate(rng.choice((0, 0, 0, 3, 90)), expand=True, fillcolor=(90, 70, 50))


def _no_page(rng: random.Random) -> Image:
    """Return noise, a grid, or a picture that is hardly one."""
    from PIL import Image as images

    match rng.randrange(4):
        case 0:
            return images.frombytes("RGB", (160, 120), rng.randbytes(160 * 120 * 3))
        case 1:
            size = rng.choice(((1, 1), (1, 4000), (4000, 1), (3, 3)))
            return images.new("RGB", size, (255, 255, 255))
        case 2:
            cell = images.new("L", (8, 8), 255)
            cell.putpixel((0, 0), 0)
            grid = images.new("L", (240, 240), 255)
            for x in range(0, 240, 8):
                for y in range(0, 240, 8):
                    grid.paste(cell, (x, y))
            return grid
    return images.new(rng.choice(("1", "P", "CMYK", "I;16", "F", "RGBA")), (200, 200))


def _saved(rng: random.Random, picture: Image, kind: str) -> bytes:
    held = io.BytesIO()
    try:
        picture.save(held, kind)
    except (OSError, ValueError):
        picture.convert("RGB").save(held, kind)
    return held.getvalue()


def _many_frames(rng: random.Random) -> bytes:
    from PIL import Image as images

    frames = [images.new("L", (40, 40), n % 255) for n in range(rng.choice((2, 25, 200)))]
    held = io.BytesIO()
    frames[0].save(held, "TIFF", save_all=True, append_images=frames[1:])
    return damaged_bytes(rng, held.getvalue())


def _claimed_png(rng: random.Random) -> bytes:
    """Return a PNG (ISO/IEC 15948) that says it is huge, or unpacks to something huge."""
    size = rng.choice((60_000, 9_000, 2**31 - 1, 0))

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", size, rng.choice((size, 1, 8_000)), 8, 0, 0, 0, 0)
    data = zlib.compress(b"\0" * rng.choice((10, 1_000_000, 70_000_000)), 9)
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")
