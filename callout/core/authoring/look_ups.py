"""Lines that are no items: what a list is for, speeds to look up, fields to fill in."""

from __future__ import annotations

import re
from typing import Final

from callout.core.authoring.likely import response_likeness
from callout.core.authoring.quantities import kind_of_words
from callout.core.formats.form_fields import is_caption, is_form_field
from callout.core.paper.page import Row

_SURELY: Final = 0.85
_FEWEST: Final = 3
"""Captions, or speeds, on a line."""
_CAPTION: Final = 4
"""Words that a caption has not."""


def is_purpose(row: Row) -> bool:
    """Say whether a line under a heading says what the list is for: "Condition: smoke"."""
    name = row.cells[0].text.casefold().strip(" :.")
    told = len(row.cells) > 1 and name in _PURPOSES and "__" not in row.origin.text
    return told and response_likeness(row.cells[1].text) < _SURELY


def is_of_form(row: Row) -> bool:
    """Say whether a line only has room to write in: fields, or captions of cells."""
    if is_form_field(row.origin.text):
        return True
    texts = [cell.text for cell in row.cells]
    named = all(kind_of_words(text) or is_caption(text) for text in texts)
    plain = all(len(text.split()) < _CAPTION and not re.search(r"[\d_]", text) for text in texts)
    return len(texts) >= _FEWEST and plain and not row.leader and named


def is_speeds(row: Row) -> bool:
    """Say whether a line is a strip of speeds to look up: "Vr 55, Vx 62, Vy 75"."""
    found = [_SPEED.fullmatch(cell.text) for cell in row.cells]
    return len(found) >= _FEWEST and all(m and m[1].casefold() in _SPEEDS for m in found)


_SPEED: Final = re.compile(r"(V[a-z0-9]{1,5})\W*(?:\d{2,3}\W*[a-z/]{0,4})?", re.IGNORECASE)
_SPEEDS: Final = frozenset(re.findall(r"\S+", """
v1 v2 va vapp vb vbg vc vd vf vfe vglide vh vle vlo vlof vmc vmca vmo vne vno vr vref vs vs0 vs1 vso
vx vy
"""))  # fmt: skip
"""Speeds as 14 CFR 1.2 abbreviates them, and others from common practice; from memory."""


_PURPOSES: Final = frozenset({
    "aim", "aims", "purpose", "objective", "goal", "condition", "conditions", "symptom", "symptoms",
    "indication", "indications", "use", "when to use", "applies", "applies to", "to", "from",
    "subject", "re", "cc", "ref",
})  # fmt: skip
"""How cards and letters name what they are for. Common practice, from memory."""
