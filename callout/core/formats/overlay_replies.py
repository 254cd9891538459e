"""Replies of an item under an overlay: fewer, closer, or in other words round its values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from callout.core.formats.overlay_parts import refuse
from callout.core.model.checklist import Item, Origin, Response
from callout.core.planning.consistency import plain


def chosen(item: Item, texts: Sequence[str], origin: Origin) -> tuple[Response, ...]:
    """Return the item's own responses with these texts."""
    listed = {plain(response.text): response for response in item.responses}
    for text in texts:
        if plain(text) not in listed:
            said = f'"{text}" is not a response of "{item.id}" in the base list.'
            refuse(origin, said, "Keep only replies that the base list accepts.")
    return tuple(listed[plain(text)] for text in texts)


def closer(item: Item, response: Response, tolerance: Decimal, origin: Origin) -> Response:
    """Return a response with a smaller tolerance; a larger one is refused."""
    known = response.tolerance
    if known is not None and tolerance > known:
        said = f'the tolerance of "{item.id}" is {known} in the base list.'
        refuse(origin, said, "An overlay may only make it smaller.")
    return replace(response, tolerance_limit=tolerance)


def around(item: Item, text: str, origin: Origin) -> Response:
    """Return a response of the item with other words around the same values."""
    for response in item.responses:
        if _values(response.text) == _values(text):
            return replace(response, text=text)
    said = f'"{text}" asks for other values than "{item.id}" in the base list.'
    refuse(origin, said, "Reword around the values, or add an item of your own.")


def _values(text: str) -> list[str]:
    return [plain(value) for value in re.findall(r"\{[^{}]*\}|\d+(?:\.\d+)?", text)]
