"""Joins lines that belong together: their texts, and their places."""

from __future__ import annotations

import re

from callout.core.authoring.page import Origin


def is_hyphened(text: str) -> bool:
    """Say whether a line breaks off within a word."""
    return re.search(r"[^\W\d_]{2}[-\u00ad\u2010]$", text.rstrip()) is not None


def joined_text(one: str, other: str) -> str:
    """Return two lines as one; a word divided between them becomes whole."""
    if is_hyphened(one):
        return one.rstrip()[:-1] + other.lstrip()
    return f"{one} {other}".strip()


def joined_origin(one: Origin, other: Origin) -> Origin:
    """Return the place that two lines cover together."""
    box = one.box.joined(other.box) if one.box and other.box else one.box or other.box
    return Origin(one.page, one.line, f"{one.text} {other.text}", box)
