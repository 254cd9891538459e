"""Pages set by a convention drawn at random: what stands between challenge and response, and where.

The pages are words with places, as a PDF gives them; nothing is printed. The conventions were
written down before the reader was run on any of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from callout.bench.cards.drawn_layouts import LAYOUTS, truth_of_pair
from callout.bench.cards.lines import Truth
from callout.core.paper.page import Box, Page, Word

_EM: Final = 10.0
_ITEMS: Final = (
    "Parking brake|set;Beacon|on;Fuel pumps|on;Seat belts|fastened;Cabin doors|closed;"
    "Mixture|rich;Flaps|up;Trim|neutral;Carb heat|cold;Avionics master|off;"
    "Circuit breakers|in;Windows|closed;Hydraulic pump|auto;Flight controls|free;"
    "Landing gear|down;Transponder|standby;Throttle|idle;Standby altimeter|1013 hPa;"
    "Power|1800 rpm;Fuel selector|both;Primer|locked;Propeller|fine;Cowl flaps|open;"
    "Magnetos|checked;Alternator|on;Battery switch|on;Landing light|off;Radios|tuned;"
    "Pitot heat|on;Oil pressure|normal;Hatches|locked;Tow bar|removed;Brakes|tested;"
    "Canopy|latched;Instruments|set;Wing lights|off;Ammeter|charging;Suction|checked;"
    "Passengers|briefed;Ice lamp|off;Chocks|removed;Autopilot|off;Speed brakes|armed;"
    "Yaw damper|on;Oxygen|tested;Tail wheel|locked;Door seal|inflated;"
    "Emergency lights|armed;Starter|engaged;Idle speed|900 rpm;Climb speed|76 kt;"
    "Altimeter|____ hPa;Fuel on board|____ kg;Runway heading|____;Take-off flap|____"
)
_HEADS: Final = ("Before start", "Line up", "Cruise", "Approach", "Shutdown", "Walk round")
_SIGNS: Final = (
    "-", "–", "—", ":", "::", "=", "==", "=>", "->", "→", "»", ">", "/", "//", "|", "||", "~",
    "*", "**", "•", "·", "+", "^", "\\", "…", "....", "<>", ";", "-->", "~~~", "###", "¦", "@",
    "¬", "■", "◆", "&", "%",
)  # fmt: skip
_COUNTS: Final = (
    "", "", "", "{n}.", "{n})", "({n})", "{a}.", "-", "*", "#{n}", "1.{n}", "Step {n}", "No {n}",
    "[ ]", "{n}:",
)  # fmt: skip
_BRACKETS: Final = ("()", "[]", "<>", "{}", "\u00ab\u00bb", "\u201c\u201d")
_NAMES: Final = (
    ("Check:", "Answer:"),
    ("Item:", "Reply:"),
    ("Challenge", "Response"),
    ("Q:", "A:"),
)
_CASES: Final[Sequence[tuple[Callable[[str], str], Callable[[str], str]]]] = (
    (str.upper, str.upper), (str, str.upper), (str.title, str.capitalize), (str, str),
    (str.upper, str), (str, str.capitalize),
)  # fmt: skip


@dataclass(slots=True)
class Sheet:
    """A page in the making, and the choices that hold for all of it."""

    chance: random.Random
    sign: str
    brackets: str
    names: tuple[str, str]
    inset: float
    across: float
    left: float
    y: float = 60.0
    words: list[Word] = field(default_factory=list)
    strokes: list[Box] = field(default_factory=list)

    def put(self, x: float, text: str, size: float = 1.0, *, bold: bool = False) -> float:
        """Set a text from ``x``; return where it ends."""
        for part in text.split():
            right = x + sum(_width(c) for c in part) * size
            self.words.append(Word(part, Box(x, self.y, right, self.y + _EM * size), 1.0, bold))
            x = right + 0.3 * _EM * size
        return x - 0.3 * _EM * size

    def rule(self, box: Box) -> None:
        """Draw a rule."""
        self.strokes.append(box)

    def pick(self, choices: Sequence[str]) -> str:
        """Return one of ``choices``."""
        return self.chance.choice(choices)

    def length(self, text: str) -> float:
        """Return how long a text is."""
        return _length(text)

    def down(self, lines: float = 1.0) -> None:
        """Go to a line below."""
        self.y += lines * 1.7 * _EM


def _width(letter: str) -> float:
    return _EM * (0.3 if letter in "ilj.,:;|'" else 0.75 if letter.isupper() else 0.55)


def _length(text: str) -> float:
    return sum(_width(c) for c in text if c != " ") + 0.3 * _EM * text.count(" ")


def _gap(s: Sheet, c: str, r: str) -> None:
    s.put(s.left, c)
    s.put(s.across, r)


def _leader(s: Sheet, c: str, r: str) -> None:
    start, end = s.put(s.left, c) + 2, s.across + 120 - _length(r)
    mark = s.sign if len(s.sign) == 1 else "."
    box = Box(start, s.y, end - 2, s.y + _EM)
    s.words.append(Word(mark * max(4, int((end - start) / 4)), box))
    s.put(end, r)


def _under(s: Sheet, c: str, r: str) -> None:
    s.put(s.left, c)
    s.down(0.75)
    s.put(s.left + s.inset * _EM, r)


def _named(s: Sheet, c: str, r: str) -> None:
    s.put(s.left, f"{s.names[0]} {c}")
    if s.inset > 1:
        s.down(0.75)
    s.put(s.left if s.inset > 1 else s.across, f"{s.names[1]} {r}")


def _columns(s: Sheet, c: str, r: str) -> None:
    s.put(s.left, s.chance.choice(("Left", "Roof", "Pedestal")))
    s.put(s.left + 80, c)
    s.put(s.left + 260, r)
    s.put(s.left + 380, s.chance.choice(("by hand", "see note", "")))


def _first(s: Sheet, c: str, r: str) -> None:
    s.put(s.left, r)
    s.put(s.left + 150, c)


def _bold(s: Sheet, c: str, r: str) -> None:
    s.put(s.put(s.left, c) + 0.3 * _EM, r, bold=True)


Setter = Callable[[Sheet, str, str], object]
CONVENTIONS: Final[Mapping[str, Setter]] = {
    "a gap": _gap,
    "a leader": _leader,
    "a sign": lambda s, c, r: s.put(s.left, f"{c} {s.sign} {r}"),
    "a sign, the response first": lambda s, c, r: s.put(s.left, f"{r} {s.sign} {c}"),
    "brackets or quotes": lambda s, c, r: s.put(
        s.left, f"{c} {s.brackets[0]}{r}{s.brackets[1]}"
    ),
    "one under the other": _under,
    "a name before each": _named,
    "columns without heads": _columns,
    "the response first": _first,
    "only the words": lambda s, c, r: s.put(s.left, f"{c} {r}"),
    "the response in bold": _bold,
}  # fmt: skip


def invented_page(seed: int) -> tuple[str, Page, tuple[Truth, ...]]:
    """Return the name of a convention, a page that keeps it, and the items on it."""
    chance = random.Random(seed)
    name = chance.choice((*CONVENTIONS, *LAYOUTS))
    sheet = Sheet(
        chance, chance.choice(_SIGNS), chance.choice(_BRACKETS), chance.choice(_NAMES),
        chance.choice((0.0, 0.6, 1.5, 3.0, 6.0)), chance.choice((250.0, 300.0, 350.0)),
        chance.choice((40.0, 60.0, 90.0)),
    )  # fmt: skip
    challenge_case, response_case = chance.choice(_CASES)
    counts = chance.choice(_COUNTS) if name not in _UNCOUNTED else ""
    pairs = [tuple(one.split("|")) for one in chance.sample(_ITEMS.split(";"), 10)]
    items = list({challenge: (challenge, response) for challenge, response in pairs}.values())
    sheet.put(chance.choice((sheet.left, 220.0)), chance.choice(("SALLOW 2", "Tarnbeck Six")), 1.5)
    sheet.down(2)
    if name in LAYOUTS:
        cased = [(challenge_case(one), response_case(two)) for one, two in items]
        truths = LAYOUTS[name](sheet, cased)
        page = Page(1, 595.0, 842.0, tuple(sheet.words), tuple(sheet.strokes))
        return name, page, tuple(truths)
    heads = chance.sample(_HEADS, 3)
    for number, (challenge, response) in enumerate(items):
        if number % 5 == 0:
            sheet.down(0.5)
            sheet.put(sheet.left, heads[number // 5], 1.1, bold=True)
            sheet.down(1.3)
        count = counts.format(n=number + 1, a=chr(65 + number))
        CONVENTIONS[name](
            sheet, f"{count} {challenge_case(challenge)}".strip(), response_case(response)
        )
        sheet.down()
    return (
        name,
        Page(1, 595.0, 842.0, tuple(sheet.words)),
        tuple(truth_of_pair(*pair) for pair in items),
    )


_UNCOUNTED: Final = frozenset({"a name before each", "the response first", "columns without heads",
                               "a sign, the response first"})  # fmt: skip
