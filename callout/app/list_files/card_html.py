"""Cards as one HTML file that opens anywhere and prints at its true size."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

from callout.core.printing.card import LEADING, MARGIN_MM, SIZES, CardLine, Size, type_size
from callout.core.sentences import files as sentences
from callout.errors import CalloutError

Card = Sequence[CardLine]


def html_of(cards: Sequence[Card], size: Size, fold: bool, safety: str) -> str:
    """Return the cards as a self-contained page; raise CalloutError without Jinja2."""
    try:
        from jinja2 import Environment
    except ImportError as error:
        hint = 'Run: pip install "callout[cards]"'
        raise CalloutError(sentences.HTML_CARD_NEEDS_JINJA2, hint) from error
    template = (files("callout") / "data" / "cards" / "card.html").read_text(encoding="utf-8")
    page = SIZES[size]
    made = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    return made.from_string(template).render(
        title=cards[0][0].text if len(cards) == 1 else "Checklists",
        cards=cards,
        page=f"{page.sheet} landscape" if fold else f"{page.width}mm {page.height}mm",
        width=page.width,
        margin=MARGIN_MM,
        points=type_size(),
        leading=1 + LEADING,
        fold=fold,
        fonts=[_font_face("Regular", 400), _font_face("Bold", 700)],
        safety=safety,
    )


def _font_face(style: str, weight: int) -> dict[str, Any]:
    data = (files("callout") / "data" / "fonts" / f"AtkinsonHyperlegible-{style}.ttf").read_bytes()
    return {"weight": weight, "data": base64.b64encode(data).decode()}
