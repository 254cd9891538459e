"""Writes a page that shows each item beside the picture it was read from."""

from __future__ import annotations

import base64
import io
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from callout.app.authoring.sources import Source
from callout.app.shared.safety import SAFETY
from callout.core.authoring.asking import questions_of
from callout.core.authoring.guesses import Guess
from callout.core.paper.page import Box, Origin
from callout.core.sentences import authoring as say
from callout.errors import CalloutError
from callout.outlet import save_text

_ROUND: Final = 0.012
"""Share of the page's width shown around a line."""


def origin_picture(source: Source, origin: Origin) -> bytes | None:
    """Return the part of a page at a given origin, as JPEG; None if there is no picture."""
    data = source.pictures.get(origin.page)
    page = next((page for page in source.pages if page.number == origin.page), None)
    if data is None or page is None or origin.box is None or not page.width:
        return None
    from PIL import Image

    with Image.open(io.BytesIO(data), formats=("JPEG",)) as whole:
        scale, round_it = whole.width / page.width, _ROUND * whole.width
        box = origin.box
        place = (
            max(0, int(box.left * scale - round_it)),
            max(0, int(box.top * scale - round_it)),
            min(whole.width, int(box.right * scale + round_it) + 1),
            min(whole.height, int(box.bottom * scale + round_it) + 1),
        )
        if place[2] <= place[0] or place[3] <= place[1]:
            return None
        held = io.BytesIO()
        whole.crop(place).save(held, "JPEG", quality=75)
    return held.getvalue()


def guess_picture(source: Source, guess: Guess) -> bytes | None:
    """Return the line of an item as JPEG, or its whole page if that may be misread."""
    page = next((page for page in source.pages if page.number == guess.origin.page), None)
    if page is None or not guess.page_in_doubt:
        return origin_picture(source, guess.origin)
    return origin_picture(source, replace(guess.origin, box=Box(0, 0, page.width, page.height)))


def write_page(path: Path, source: Source) -> None:
    """Write the page; raise CalloutError without Jinja2."""
    try:
        from jinja2 import Environment
    except ImportError as error:
        raise CalloutError(say.PICTURES_NEED, say.INSTALL_PAPER) from error
    template = (files("callout") / "data" / "authoring" / "beside.html").read_text("utf-8")
    reading = source.reading
    section = ""
    rows = []
    for guess in reading.guesses:
        heading = guess.section if guess.section != section else ""
        section = guess.section
        rows.append(_shown_guess(source, guess, heading))
    made = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    text = made.from_string(template).render(
        title=reading.title,
        source=reading.source,
        safety=SAFETY,
        rows=rows,
        not_placed=[out.origin.text for out in reading.not_placed],
        left_out=[out.origin.text for out in reading.left_out if out not in reading.not_placed],
    )
    save_text(path, text, folders=True)


def _shown_guess(source: Source, guess: Guess, heading: str) -> dict[str, Any]:
    item = guess.item
    picture = guess_picture(source, guess)
    reply = " / ".join(item.responses) or "?"
    more = [item.who, item.when and f"when: {item.when}", item.caution, item.note]
    return {
        "heading": heading,
        "text": guess.origin.text,
        "picture": base64.b64encode(picture).decode("ascii") if picture else "",
        "whole": guess.page_in_doubt,
        "challenge": item.challenge,
        "response": f"as required: {reply}" if item.as_required else reply,
        "more": "; ".join(filter(None, more)),
        "questions": [question.text for question in questions_of(guess)],
    }
