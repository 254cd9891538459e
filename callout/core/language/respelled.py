"""Units as recognisers write them, and as lists do."""

from __future__ import annotations

import re

ALSO_WRITTEN = {
    "meter": "metre", "meters": "metres", "liter": "litre", "liters": "litres",
    "litter": "litre", "litters": "litres", "nuts": "knots",
}  # fmt: skip
"""How the network also writes words that lists spell in another way, or that it hardly knows; none
of them has a meaning of its own at a checklist.
"""
_WORD = re.compile(r"[a-z]+")


def as_listed(text: str) -> str:
    """Return a transcript in lower case with units as lists write them ("metres")."""
    return _WORD.sub(lambda found: ALSO_WRITTEN.get(found[0], found[0]), text.lower())
