"""Several lists on one page or in one document: finds where each begins, and separates them."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from dataclasses import dataclass, replace
from itertools import groupby

from callout.core.authoring.asides import fact_name
from callout.core.authoring.guesses import Blank, Guess, LeftOut, Reading
from callout.core.formats.drafts import Draft, is_phase_name
from callout.core.planning.consistency import plain_text
from callout.core.sentences import authoring as say


@dataclass(slots=True)
class Beginnings:
    """Follows headings, and decides which of them begins a list."""

    title: str = ""
    """Title of the list being read."""
    ended: bool = False
    """It was called complete."""
    height: float = 0.0
    """Letter height of the first title."""

    def begins(self, title: str, named: bool, height: float) -> bool:
        """Say whether a heading begins a list; ``named`` if it calls itself a checklist.

        Names of phases, and letters as large as those of the first title, begin one too. The height
        is relative to most letters of the page.
        """
        if not self.title:
            self.title, self.height = title, height
            return True
        alike = self.height > 1.2 and abs(height - self.height) < 0.04 * self.height
        if title.casefold() == self.title.casefold():
            return False
        if not (named or self.ended or alike or is_phase_name(title)):
            return False
        self.title, self.ended = title, False
        return True


def list_titles(reading: Reading) -> tuple[str, ...]:
    """Return the titles of the lists in ``reading``, in order, except lists that were left out."""
    return tuple(part.title for part in split_reading(reading))


def split_reading(reading: Reading) -> tuple[Reading, ...]:
    """Return each list separately; lines left out stay with their list."""
    calls = dict(reading.calls)
    kept = [guess for guess in reading.guesses if guess.kept]
    parts = [(title, tuple(found)) for title, found in groupby(kept, key=lambda g: g.of_list)]
    if len(parts) < 2:
        return (reading,) if parts else ()
    made = []
    titles: Counter[str] = Counter()
    for at, (title, guesses) in enumerate(parts):
        own = tuple(replace(g, section="") if g.section == title else g for g in guesses)
        after = guesses[0].origin if at else None
        until = parts[at + 1][1][0].origin if at + 1 < len(parts) else None
        out = tuple(
            left
            for left in reading.left_out
            if (after is None or _place(left) >= (after.page, after.line))
            and (until is None or _place(left) < (until.page, until.line))
        )
        named = title or reading.title
        titles[named.casefold()] += 1
        if titles[named.casefold()] > 1:  # a file, an id and a call of its own
            named = f"{named} {titles[named.casefold()]}"
        made.append(Reading(named, own, out, calls.get(title, ""), reading.source))
    return tuple(made)


def _place(left: LeftOut) -> tuple[int, int]:
    return left.origin.page, left.origin.line


def told_apart(reading: Reading) -> Reading:
    """Return ``reading`` with separate values for each list, and for each section that asks again.

    The altimeter setting at departure is not that at arrival, even if both lists only say
    "altimeter": with one shared value the second list would ask for that of the first. Where two
    sections of one list ask for the same thing, the second is called after its section.
    """
    owner: dict[str, str] = {}
    asked: dict[tuple[str, str], str] = {}
    guesses = []
    for guess in reading.guesses:
        called = (guess.of_list, guess.item.challenge.casefold())
        first = asked.setdefault(called, guess.section) if guess.kept else guess.section
        if first != guess.section and guess.section and not guess.item.when:
            guess = _called_after_section(guess)
        for blank in guess.blanks:
            if owner.setdefault(blank.name, guess.of_list) != guess.of_list:
                guess = _renamed(guess, blank, guess.of_list)
        guesses.append(guess)
    return replace(reading, guesses=tuple(guesses))


def named_once(draft: Draft) -> Draft:
    """Return a list in which no two items are called alike, but "Starter" and "Starter again".

    What stands twice on a card is done twice; a list tells the two apart by their challenges.
    """
    met: dict[str, list[str]] = {}
    taken = {plain_text(item.challenge) for item in draft.items}
    sections = []
    for section in draft.sections:
        items = []
        for item in section.items:
            before = met.setdefault(plain_text(item.challenge), [])
            if before and (not item.when or item.when in before or "" in before):
                names = (
                    say.once_again(item.challenge, n) for n in itertools.count(len(before) + 1)
                )
                free = next(name for name in names if plain_text(name) not in taken)
                taken.add(plain_text(free))
                item = replace(item, challenge=free)
            before.append(item.when)
            items.append(item)
        sections.append(replace(section, items=tuple(items)))
    return replace(draft, sections=tuple(sections))


def _called_after_section(guess: Guess) -> Guess:
    """Return an item named after its section too, with values of its own."""
    for blank in guess.blanks:
        guess = _renamed(guess, blank, guess.section)
    challenge = guess.item.challenge
    small = challenge[:1].lower() + challenge[1:] if challenge[1:2].islower() else challenge
    return replace(guess, item=replace(guess.item, challenge=f"{guess.section} {small}"))


def _renamed(guess: Guess, blank: Blank, after: str) -> Guess:
    words = f"{after.casefold()} {blank.words}"
    name = fact_name(words)
    responses = tuple(
        re.sub(rf"\{{{re.escape(blank.name)}\}}", f"{{{name}}}", reply)
        for reply in guess.item.responses
    )
    made = replace(blank, name=name, words=words)
    blanks = tuple(made if b.name == blank.name else b for b in guess.blanks)
    return replace(guess, item=replace(guess.item, responses=responses), blanks=blanks)
