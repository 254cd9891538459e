"""Lines that are no items: what a list is for, speeds to look up, fields to fill in."""

from __future__ import annotations

import re
from collections.abc import Sequence
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


def speed_tables(rows: Sequence[Row]) -> set[int]:
    """Return the ids of rows that are tables to look up: speeds by name, or what "Limits" heads."""
    found: set[int] = set()
    run: list[Row] = []
    headed = False
    for row in (*rows, None):
        if row is not None and _is_figure(row, headed):
            run.append(row)
            continue
        found |= {id(one) for one in run} if len(run) >= (2 if headed else _FEWEST) else set()
        run = []
        name = row.cells[0].text.strip(" :.") if row is not None and len(row.cells) == 1 else ""
        headed = _TABLE_NAME.fullmatch(name) is not None
    return found


def _is_figure(row: Row, headed: bool) -> bool:
    """Say whether a row is a name and a figure, and the name is that of a speed if need be."""
    if len(row.cells) != 2 or _FIGURE.fullmatch(row.cells[1].text) is None:
        return False
    return headed or is_speed(row.cells[0].text, row.cells[1].text)


def is_speed(name: str, said: str) -> bool:
    """Say whether a line gives a speed by its abbreviation, as a table of speeds does."""
    named = re.sub(r"\W.*", "", name).casefold() in _SPEEDS
    return named and _FIGURE.fullmatch(said) is not None


_FIGURE: Final = re.compile(
    r"\d{1,3}(?:[.,]\d+)?\s*"
    r"(?:kt|kts|kias|knots|mph|km/h|\u00b0c|\u00b0f|kg|lb|lbs|ft|psi|bar|rpm)?"
    r"|\d{4}\s*(?:kg|lb|lbs|ft|rpm)",
    re.IGNORECASE,
)
_TABLE_NAME: Final = re.compile(
    r"(?:v[- ]?|air|reference |key |best )?speeds?(?: \(?(?:kt|kts|kias|mph)\)?)?|limits?"
    r"|limitations|kias|numbers|speeds (?:and|&) limits",
    re.IGNORECASE,
)
"""What heads a table of figures. Common practice."""
_SPEED: Final = re.compile(r"(V[a-z0-9]{1,5})\W*(?:\d{2,3}\W*[a-z/]{0,4})?", re.IGNORECASE)
_SPEEDS: Final = frozenset(re.findall(r"\S+", """
v1 v2 va vapp vb vbg vc vd vf vfe vglide vh vle vlo vlof vmc vmca vmcg vmo vne vno vr vref vs vs0
vs1 vso vsse vx vxse vy vyse
"""))  # fmt: skip
"""Speeds as 14 CFR 1.2 abbreviates them, and others from common practice; from memory."""


_PURPOSES: Final = frozenset({
    "aim", "aims", "purpose", "objective", "goal", "condition", "conditions", "symptom", "symptoms",
    "indication", "indications", "use", "when to use", "applies", "applies to", "to", "from",
    "subject", "re", "cc", "ref",
})  # fmt: skip
"""How cards and letters name what they are for. Common practice, from memory."""
