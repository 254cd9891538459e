"""Replies of an item under an overlay: fewer, tighter, or in other words around its values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from callout.core.formats.overlay_parts import refuse_change
from callout.core.model.checklist import Item, Origin, Response
from callout.core.planning.consistency import plain_text
from callout.core.sentences import overlays as sentences


def chosen_responses(item: Item, texts: Sequence[str], origin: Origin) -> tuple[Response, ...]:
    """Return the item's own responses with these texts."""
    listed = {plain_text(response.text): response for response in item.responses}
    for text in texts:
        if plain_text(text) not in listed:
            said = f'"{text}" is not a response of "{item.id}" in the base list.'
            refuse_change(origin, said, sentences.NEW_REPLY_HINT)
    return tuple(listed[plain_text(text)] for text in texts)


def closer_response(item: Item, response: Response, tolerance: Decimal, origin: Origin) -> Response:
    """Return a response with a smaller tolerance; a larger one is refused."""
    known = response.tolerance
    if known is not None and tolerance > known:
        said = f'the tolerance of "{item.id}" is {known} in the base list.'
        refuse_change(origin, said, sentences.WIDER_TOLERANCE_HINT)
    return replace(response, tolerance_limit=tolerance)


def response_around(item: Item, text: str, origin: Origin) -> Response:
    """Return a response of the item with other words around the same values."""
    for response in item.responses:
        if _value_texts(response.text) == _value_texts(text):
            return replace(response, text=text)
    said = f'"{text}" asks for other values than "{item.id}" in the base list.'
    refuse_change(origin, said, sentences.REWORDED_VALUES_HINT)


def _value_texts(text: str) -> list[str]:
    return [plain_text(value) for value in re.findall(r"\{[^{}]*\}|\d+(?:\.\d+)?", text)]
