"""Decks of twenty cards: ten as PDF, ten as photographs; five simple, fifteen as messy as real."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from callout.bench.cards.browser_cards import BrowserCard, browser_deck
from callout.bench.cards.lines import CardText, card_text
from callout.bench.cards.photographing import Camera, drawn_pdf, take_photo
from callout.bench.cards.printing import print_card
from callout.bench.cards.set_lines import set_decks, set_text, sheet_of
from callout.bench.cards.set_sheet import Setting
from callout.bench.cards.setting import set_card
from callout.bench.cards.sheet import Layout


@dataclass(frozen=True, slots=True)
class Card:
    """One card of a deck."""

    name: str
    pool: str
    seed: int
    layout: Layout
    camera: Camera | None = None
    """None: a PDF."""
    plain: int = 9
    hard: int = 7

    def text(self) -> CardText:
        """Return what is printed on it."""
        return card_text(self.pool, self.seed, self.plain, self.hard)

    def made(self) -> tuple[str, bytes]:
        """Return (file ending, file contents)."""
        pdf = print_card(self.text(), self.layout)
        if self.camera is None:
            return ".pdf", pdf
        return ".jpg", take_photo(drawn_pdf(pdf), self.camera, self.seed)


def _simple(name: str, seed: int, layout: Layout, camera: Camera | None = None) -> Card:
    return Card(name, "first", seed, layout, camera, plain=10, hard=2)


_OWN: Final = "atkinson"
FIRST: Final = (
    _simple("pdf-01", 1, Layout()),
    _simple("pdf-02", 2, Layout(between="gap", font="times", size=12)),
    _simple("pdf-03", 3, Layout(between="colon", font=_OWN, capitals=False)),
    Card("pdf-04", "first", 4,
         Layout(columns=2, size=9, sections="banner", title="banner")),
    Card("pdf-05", "first", 5,
         Layout(between="table", head=True, font="times", blanks="strokes")),
    Card("pdf-06", "first", 6,
         Layout(number="1.", between="dash", sections="underlined", furniture=True)),
    Card("pdf-07", "first", 7,
         Layout(between="left", sections="banner", blanks="frames", zebra=True)),
    Card("pdf-08", "first", 8,
         Layout(pages=2, furniture=True, font=_OWN, title="centred", size=13)),
    Card("pdf-09", "first", 9,
         Layout(crew=True, number="box", size=10, blanks="brackets")),
    Card("pdf-10", "first", 10,
         Layout(columns=2, wide=True, between="table", narrow=True, size=10,
                blanks="strokes")),
    _simple("photo-01", 11, Layout(size=12), Camera(tilt=1.5, blur=0.6)),
    _simple("photo-02", 12, Layout(between="gap", font=_OWN, size=13), Camera(shadow=0.3, noise=4)),
    Card("photo-03", "first", 13,
         Layout(sections="banner", title="banner"),
         Camera(tilt=-4, perspective=0.02, blur=0.8, shadow=0.35, noise=5)),
    Card("photo-04", "first", 14,
         Layout(columns=2, wide=True, size=10),
         Camera(tilt=2, perspective=0.015, blur=0.7, noise=6, quality=70)),
    Card("photo-05", "first", 15,
         Layout(between="table", head=True, blanks="strokes", size=12),
         Camera(tilt=3, perspective=0.03, shadow=0.4, blur=0.6)),
    Card("photo-06", "first", 16,
         Layout(between="left", zebra=True, font="times", size=12),
         Camera(quarters=1, blur=0.7, noise=5, tilt=1)),
    Card("photo-07", "first", 17,
         Layout(number="1.", sections="underlined", furniture=True, font=_OWN),
         Camera(table=False, noise=8, blur=0.9, quality=60)),
    Card("photo-08", "first", 18,
         Layout(crew=True, size=12, sections="large"),
         Camera(tilt=-2, perspective=0.025, shadow=0.5, blur=0.7, noise=4)),
    Card("photo-09", "first", 19,
         Layout(between="colon", capitals=False, size=14, title="centred"),
         Camera(quarters=2, tilt=2, blur=0.8, noise=6)),
    Card("photo-10", "first", 20,
         Layout(columns=2, sections="banner", blanks="strokes", size=9),
         Camera(tilt=1, perspective=0.01, blur=0.5, shadow=0.3, noise=3)),
)  # fmt: skip
"""Used while the rules were written."""


def _later(name: str, seed: int, layout: Layout, camera: Camera | None = None) -> Card:
    return Card(name, "after", seed, layout, camera, plain=9, hard=7)


def _plainer(name: str, seed: int, layout: Layout, camera: Camera | None = None) -> Card:
    return Card(name, "after", seed, layout, camera, plain=10, hard=2)


AFTER: Final = (
    _plainer("pdf-01", 101, Layout(between="spaced-dots", font="courier", size=10)),
    _plainer("pdf-02", 102, Layout(between="arrow", font=_OWN, size=12)),
    _plainer("pdf-03", 103, Layout(between="line", font="times", size=12, title="centred")),
    _later("pdf-04", 104, Layout(columns=3, wide=True, size=8, between="dots", sections="large")),
    _later("pdf-05", 105, Layout(between="left", rules=True, font="times", size=12,
                                 blanks="strokes")),
    _later("pdf-06", 106, Layout(between="gap", zebra=True, number="dot", furniture=True)),
    _later("pdf-07", 107, Layout(between="table", crew=True, head=True, size=10, narrow=True)),
    _later("pdf-08", 108, Layout(columns=2, between="colon", sections="plain", font="courier",
                                 size=8, blanks="brackets")),
    _later("pdf-09", 109, Layout(pages=3, furniture=True, between="spaced-dots", number="box",
                                 blanks="frames", sections="underlined")),
    _later("pdf-10", 110, Layout(columns=2, wide=True, between="left", rules=True, size=10,
                                 sections="banner", title="banner", font=_OWN)),
    _plainer("photo-01", 111, Layout(between="left", rules=True, size=13), Camera(tilt=-1.2)),
    _plainer("photo-02", 112, Layout(between="spaced-dots", size=12), Camera(blur=0.7, noise=4)),
    _later("photo-03", 113, Layout(between="dash", number="dot", size=13, sections="large"),
           Camera(tilt=5, shadow=0.4, blur=0.7)),
    _later("photo-04", 114, Layout(between="table", crew=True, head=True, size=12),
           Camera(tilt=-2, perspective=0.03, noise=5)),
    _later("photo-05", 115, Layout(columns=2, wide=True, between="gap", font=_OWN, size=11),
           Camera(perspective=0.02, shadow=0.3, blur=0.6)),
    _later("photo-06", 116, Layout(between="line", size=13, title="centred"),
           Camera(quarters=3, tilt=1, blur=0.6)),
    _later("photo-07", 117, Layout(font="courier", size=11, furniture=True, blanks="frames"),
           Camera(table=False, noise=6, blur=0.6, quality=70)),
    _later("photo-08", 118, Layout(between="arrow", size=13, capitals=False, sections="banner"),
           Camera(tilt=3, perspective=0.02, shadow=0.5)),
    _later("photo-09", 119, Layout(between="gap", zebra=True, font="times", size=13,
                                   blanks="strokes"),
           Camera(quarters=2, noise=6, blur=0.8, shadow=0.25)),
    _later("photo-10", 120, Layout(columns=2, between="dots", size=9, title="banner",
                                   sections="plain", rules=True),
           Camera(tilt=-1.5, perspective=0.012, blur=0.5, noise=3)),
)  # fmt: skip
"""Other layouts and words, created after the rules; first read with the rules as they then were."""


@dataclass(frozen=True, slots=True)
class SetCard:
    """A card laid out line by line."""

    deck: str
    name: str
    seed: int

    def text(self) -> CardText:
        """Return what is printed on it."""
        return set_text(self.deck, self.name)

    def made(self) -> tuple[str, bytes]:
        """Return (file ending, file contents)."""
        told = set_decks()[self.deck][self.name]
        pdf = set_card(self.text(), Setting(**sheet_of(self.deck, self.name)["set"]))
        if "photo" not in told:
            return ".pdf", pdf
        return ".jpg", take_photo(drawn_pdf(pdf), Camera(**told["photo"]), self.seed)


def _set_deck(deck: str) -> tuple[SetCard, ...]:
    return tuple(SetCard(deck, name, 300 + at) for at, name in enumerate(set_decks()[deck]))


def _browser_deck(deck: str) -> tuple[BrowserCard, ...]:
    return tuple(BrowserCard(deck, name, 600 + at) for at, name in enumerate(browser_deck(deck)))


DECKS: Final[Mapping[str, Sequence[Card | SetCard | BrowserCard]]] = {
    "first": FIRST, "after": AFTER, "third": _set_deck("third"), "fourth": _set_deck("fourth"),
    "fifth": _set_deck("fifth"), "sixth": _browser_deck("sixth"),
    "seventh": _browser_deck("seventh"), "eighth": _browser_deck("eighth"),
    "ninth": _browser_deck("ninth"), "tenth": _browser_deck("tenth"),
    "eleventh": _browser_deck("eleventh"), "twelfth": _browser_deck("twelfth"),
    "thirteenth": _browser_deck("thirteenth"), "fourteenth": _browser_deck("fourteenth"),
    "fifteenth": _browser_deck("fifteenth"), "sixteenth": _browser_deck("sixteenth"),
    "seventeenth": _browser_deck("seventeenth"),
    "eighteenth": _browser_deck("eighteenth"), "nineteenth": _browser_deck("nineteenth"),
    "twentieth": _browser_deck("twentieth"),
    "twentyfirst": _browser_deck("twentyfirst"),
    "twentysecond": _browser_deck("twentysecond"),
}  # fmt: skip
