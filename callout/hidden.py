"""Characters that are invisible or change how others are displayed: one definition for all texts.

Unicode 15: controls, format characters (marks of direction, UAX 9), surrogates, private and
unassigned ones, line and paragraph breaks, all that is ignored when it is shown
(DerivedCoreProperties, Default_Ignorable_Code_Point), and a sign that is blank. A mark that makes
the symbol before it a picture or a plain sign is no secret, and stays.
"""

from __future__ import annotations

import unicodedata
from typing import Final

HARMFUL: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_IGNORED: Final = (
    (0x00AD, 0x00AD), (0x034F, 0x034F), (0x061C, 0x061C), (0x115F, 0x1160), (0x17B4, 0x17B5),
    (0x180B, 0x180F), (0x200B, 0x200F), (0x202A, 0x202E), (0x2060, 0x206F), (0x3164, 0x3164),
    (0xFE00, 0xFE0F), (0xFEFF, 0xFEFF), (0xFFA0, 0xFFA0), (0xFFF0, 0xFFF8), (0x1BCA0, 0x1BCA3),
    (0x1D173, 0x1D17A), (0xE0000, 0xE0FFF),
)  # fmt: skip
_BLANK: Final = "\u2800"
_PICTURE: Final = "\ufe0e\ufe0f"
_SYMBOLS: Final = ("So", "Sm")


def is_hidden(character: str, before: str = "") -> bool:
    """Say whether ``character`` is invisible; ``before``: the preceding character."""
    if character < "\x7f":
        return character < " "
    if character in _PICTURE and before:
        return unicodedata.category(before) not in _SYMBOLS
    code = ord(character)
    ignored = any(first <= code <= last for first, last in _IGNORED)
    return ignored or character == _BLANK or unicodedata.category(character) in HARMFUL


def hidden_places(text: str) -> list[int]:
    """Return the positions of hidden characters in ``text``."""
    if text.isascii() and text.isprintable():
        return []
    pairs = zip(text, f" {text}", strict=False)
    return [place for place, pair in enumerate(pairs) if is_hidden(*pair)]


def without_hidden(text: str, instead: str = " ") -> str:
    """Return ``text`` with ``instead`` for each hidden character."""
    places = set(hidden_places(text))
    return "".join(instead if n in places else c for n, c in enumerate(text)) if places else text


def visible_escape(character: str) -> str:
    """Return the escape of a character, as JSON writes it; below 7F as programs do."""
    code = ord(character)
    if code < 0x7F:
        return f"\\x{code:02x}"
    if code < 0x10000:
        return f"\\u{code:04x}"
    high, low = divmod(code - 0x10000, 0x400)
    return f"\\u{0xD800 + high:04x}\\u{0xDC00 + low:04x}"


def escape_hidden(text: str, stays: str = "") -> str:
    """Return ``text`` with hidden characters, except those in ``stays``, as visible escapes."""
    places = {n for n in hidden_places(text) if text[n] not in stays}
    return (
        "".join(visible_escape(c) if n in places else c for n, c in enumerate(text))
        if places
        else text
    )
