"""Cards set by a browser: the layouts that word processors and web pages give."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

import yaml

from callout.bench.cards.lines import CardText, Line
from callout.bench.cards.photographing import Camera, drawn_pdf, take_photo
from callout.bench.cards.set_lines import truth_of

_PAGE: Final = (
    "<!doctype html><html lang='en'><meta charset='utf-8'>"
    "<style>@page{{size:A4;margin:14mm}}*{{-webkit-print-color-adjust:exact}}{style}</style>"
    "<body>{sheet}</body></html>"
)


@dataclass(frozen=True, slots=True)
class BrowserCard:
    """A card of a deck whose sheets are HTML."""

    deck: str
    name: str
    seed: int

    def text(self) -> CardText:
        """Return its items, as a person reads them."""
        lines = self._told()["truth"].splitlines()
        return CardText("", tuple(Line("item", "", truth=truth_of(line)) for line in lines))

    def made(self) -> tuple[str, bytes]:
        """Return (file ending, file contents)."""
        told = self._told()
        pdf = _printed(_PAGE.format(style=told["style"], sheet=told["sheet"]))
        if "photo" not in told:
            return ".pdf", pdf
        return ".jpg", take_photo(drawn_pdf(pdf), Camera(**told["photo"]), self.seed)

    def _told(self) -> Mapping[str, Any]:
        told: Mapping[str, Any] = browser_deck(self.deck)[self.name]
        return told


@lru_cache(maxsize=4)
def browser_deck(deck: str) -> Mapping[str, Any]:
    """Return the cards of ``deck`` by name."""
    path = files("callout") / "data" / "bench" / "sheets" / f"{deck}.yaml"
    cards: Mapping[str, Any] = yaml.safe_load(path.read_text("utf-8"))[deck]
    return cards


def _printed(html: str) -> bytes:
    from callout.bench.glance_pictures import opened_browser

    with opened_browser() as browser:
        page = browser.new_page()
        page.set_content(html)
        return bytes(page.pdf(prefer_css_page_size=True, print_background=True))
