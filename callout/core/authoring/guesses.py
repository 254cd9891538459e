"""A draft in progress: each line as understood, its origin, and its doubts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

from callout.core.formats.drafts import Draft, DraftItem, DraftSection
from callout.core.paper.page import Origin


class Doubt(Enum):
    """What has to be asked because the source does not say."""

    NO_RESPONSE = "no-response"
    BLANK = "blank"
    """A value is written in; the page does not say which."""
    LINE = "line"
    """A run of underscores: a value to write in, or a leader."""
    HOLE = "hole"
    """Room that no letter explains: a blank may have been missed."""
    AS_REQUIRED = "as-required"
    """The page does not say which positions are possible."""
    SLASH = "slash"
    """Both in order, or either."""
    LETTERS = "letters"
    """The picture was hard to read."""
    UNREAD = "unread"
    """There is ink beside it that no letter explains."""
    SEAT = "seat"
    """A crew mark whose words do not say which seat it means."""
    RANGE = "range"
    """A minimum, a maximum, or both."""
    WHEN = "when"
    """Words in brackets behind a challenge: when it applies, or part of its name."""
    TWO_PARTS = "two-parts"
    """There is a third part beside challenge and response."""
    LAYOUT = "layout"
    """Few lines of its page make a likely item: the whole page may be misread."""


@dataclass(frozen=True, slots=True)
class Blank:
    """A value written in on paper: a quantity of the flight."""

    name: str
    """As written in braces."""
    words: str
    """As spoken."""
    kind: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class AskedFact:
    """A condition of the set-up that the page names."""

    name: str
    ask: str
    """The question; empty for a fact that needs none."""


@dataclass(frozen=True, slots=True)
class Guess:
    """One item as understood."""

    item: DraftItem
    origin: Origin
    section: str = ""
    doubts: tuple[Doubt, ...] = ()
    blanks: tuple[Blank, ...] = ()
    facts: tuple[AskedFact, ...] = ()
    raw: str = ""
    """The response as printed."""
    printed: str = ""
    """All parts as printed; empty if a table says them without doubt."""
    condition: str = ""
    """The line over it that says when it applies, as printed."""
    bracket: str = ""
    """The words in brackets behind its challenge that were taken for a condition, as printed."""
    kept: bool = True
    """False: the person wants it left out."""
    of_list: str = ""
    """The title of its list; empty if there is only one."""

    @property
    def page_in_doubt(self) -> bool:
        """True if its whole page may be misread."""
        return Doubt.LAYOUT in self.doubts


NOT_PLACED: Final = "not-placed"
TURNED: Final = "turned"
NO_CHALLENGE: Final = "no-challenge"
NOT_READ: Final = "not-read"
UNPLACED: Final = frozenset({NOT_PLACED, TURNED, NO_CHALLENGE, NOT_READ})
"""Reasons that somebody has to look at."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A line that did not become an item, with the reason."""

    origin: Origin
    why: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A whole source as understood."""

    title: str = ""
    guesses: tuple[Guess, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    completion_call: str = ""
    source: str = ""
    """The name of its file."""
    calls: tuple[tuple[str, str], ...] = ()
    """Title of each list -> the words of its completion call."""

    @property
    def not_placed(self) -> tuple[LeftOut, ...]:
        """What was in the source and is in nothing that was read."""
        return tuple(out for out in self.left_out if out.why in UNPLACED)

    @property
    def open_guesses(self) -> tuple[int, ...]:
        """Indices of the guesses that somebody has to look at."""
        return tuple(at for at, guess in enumerate(self.guesses) if guess.doubts and guess.kept)


def with_guess(reading: Reading, at: int, guess: Guess) -> Reading:
    """Return ``reading`` with the guess at ``at`` replaced."""
    guesses = (*reading.guesses[:at], guess, *reading.guesses[at + 1 :])
    return replace(reading, guesses=guesses)


def with_layout_asked(reading: Reading, pages: Collection[int]) -> Reading:
    """Return ``reading`` with a question at the first item of each of ``pages``."""
    firsts = {guess.origin.page: at for at, guess in reversed(list(enumerate(reading.guesses)))}
    for at in (at for page, at in firsts.items() if page in pages):
        guess = reading.guesses[at]
        reading = with_guess(reading, at, replace(guess, doubts=(Doubt.LAYOUT, *guess.doubts)))
    return reading


def confirmed_guess(guess: Guess, doubt: Doubt | None = None) -> Guess:
    """Return ``guess`` as confirmed: without ``doubt``, or without any."""
    left = tuple(d for d in guess.doubts if doubt is not None and d is not doubt)
    return replace(guess, doubts=left)


def draft_of(reading: Reading) -> Draft:
    """Return the list as ``reading`` has it now."""
    sections: list[DraftSection] = []
    for guess in reading.guesses:
        if not guess.kept:
            continue
        if sections and sections[-1].title == guess.section:
            items = (*sections[-1].items, guess.item)
            sections[-1] = replace(sections[-1], items=items)
        else:
            sections.append(DraftSection(guess.section, (guess.item,)))
    return Draft(reading.title, tuple(sections), completion_call=reading.completion_call)


def reading_of(draft: Draft, origins: Sequence[Origin], source: str = "") -> Reading:
    """Return a reading of a table whose columns left no doubt."""
    pairs = [(section.title, item) for section in draft.sections for item in section.items]
    guesses = tuple(
        Guess(item, origin, title, raw=" / ".join(item.responses))
        for (title, item), origin in zip(pairs, origins, strict=True)
    )
    return Reading(draft.title, guesses, (), draft.completion_call, source)
