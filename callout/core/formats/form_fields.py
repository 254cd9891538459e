"""Fields of a form, which are set like items and are none: who flew what, and when."""

from __future__ import annotations

import re
from typing import Final

_FIELD: Final = re.compile(
    r"(?:pilot(?:'s)? |student(?:'s)? |instructor(?:'s)? )?(?:names?|pilot(?: in command)?|student"
    r"|trainee|instructor|examiner|captain|commander|first officer|signature|signed(?: by)?|sign"
    r"|date|initials|checked by|done by|inspector|inspected by|licen[cs]e(?: no)?|stamp"
    r"|aircraft(?: type| reg(?:istration)?)?|reg(?:istration)?|tail no|serial(?: no)?|call ?sign"
    r"|flight no|lesson no|approved(?: by)?|engineer|mechanic)\.?",
    re.IGNORECASE,
)
"""What the fields at the head and the foot of a form are called. Common practice, from memory."""
_CAPTION: Final = re.compile(
    r"clearance|remarks?|notes?|wind|weather|slot|stand|gate|alternate|off ?blocks?|on ?blocks?"
    r"|take-?off|landing|airborne|block|temp(?:erature)?|visibility|cloud|type|from|to|route"
    r"|dep(?:arture)?|dest(?:ination)?|day|crew|pax|block time|flight time|page|lesson",
    re.IGNORECASE,
)
"""What else is written over the cells of a form."""
_GAP: Final = re.compile(r"(?:_{2,}|\.{4,}|\u2026+|[|/:,;])+")


def is_form_field(text: str) -> bool:
    """Say whether a line only has room for who, when and with what: "Pilot ____ Date ____"."""
    open_ = text.rstrip().endswith(":") and text.count(":") > 1
    if "__" not in text and not open_:
        return False
    found = [_FIELD.fullmatch(part.strip()) for part in _GAP.split(text) if part.strip()]
    return bool(found) and all(found)


def is_caption(text: str) -> bool:
    """Say whether a text is what a form writes over room for a value."""
    return any(kind.fullmatch(text.strip()) for kind in (_FIELD, _CAPTION))
