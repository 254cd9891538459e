"""Large letters for the current challenge, readable from two metres."""

from __future__ import annotations

from functools import lru_cache

_FONTS = ("big", "standard", "small")


@lru_cache(maxsize=64)
def big_lines(text: str, width: int, height: int) -> tuple[str, ...]:
    """Return ``text`` in the largest letters that fit ``width`` columns and ``height`` rows.

    If none fit, or a character has no large form, the text itself is returned, spaced out if there
    is room.
    """
    if text.isascii() and height >= 4:
        for font in _FONTS:
            lines = _draw_letters(text, font, width)
            if 0 < len(lines) <= height and max(map(len, lines)) <= width:
                return lines
    spaced = " ".join(text.upper())
    return (spaced,) if len(spaced) <= width else (text,)


def _draw_letters(text: str, font: str, width: int) -> tuple[str, ...]:
    from pyfiglet import Figlet, FigletError  # slow to import; plain sessions never need it

    try:
        drawn = str(Figlet(font=font, width=width).renderText(text))
    except FigletError:
        return ()
    lines = [line.rstrip() for line in drawn.splitlines()]
    return tuple(line for line in lines if line)
