"""Accounts for every word and every blank of a source, whatever the rules did with it.

Each is in an item, a note, a heading or a line that was left out; or it is shown as not placed. The
rules that read a source are not asked: what they returned is compared with what was there.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.guesses import NOT_PLACED, TURNED, Doubt, Guess, LeftOut, Reading
from callout.core.authoring.splitting import BULLET, TICK
from callout.core.authoring.table_heads import head_parts
from callout.core.paper.blanks import BLANK, OPEN_DOTS, WRITTEN_ON, blank_words, blanks_in
from callout.core.paper.page import Box, Origin, Page, Row, Word

_TOKEN: Final = re.compile(r"[^\W_]+")
_RAISED: Final = re.compile(r"[\u00b9\u00b2\u00b3\u2070-\u207f]+")
_RUN: Final = re.compile(r"(?<!_)_{2,14}(?!_)|_{15,}|\.{15}")
"""A blank in the text of a line, or a drawn line that leads."""
_COUNT: Final = re.compile(r"^\s*\d{1,2}\s+(?=[^\W\d_])")
"""A number that counts the items."""
_MARKS: Final = frozenset({"who", "done", "number"})
_ASKED: Final = frozenset({Doubt.HOLE, Doubt.LINE, Doubt.NO_RESPONSE, Doubt.TWO_PARTS})
"""Questions whose answer can be a value that was not taken."""
_JOINING: Final = frozenset({"to"})
"""Words between challenge and response: "mixture to RICH"."""
_OF_HEADINGS: Final = frozenset({"checklist", "check", "list", "cont", "continued", "d"})
"""Words that a heading loses: they say what it is."""


def accounted(reading: Reading, rows: Sequence[Row], pages: Sequence[Page] = ()) -> Reading:
    """Return ``reading`` with whatever it lost: a question about a value, or a line not placed.

    ``rows`` are those that were read as a list, ``pages`` where they come from.
    """
    marks = _mark_columns(rows)
    told = tuple(_with_values_kept(guess, marks[guess.origin.page]) for guess in reading.guesses)
    reading = replace(reading, guesses=told)
    lost = [*_lost_words(pages, rows, reading), *_lost_rows(reading, rows), *_lost_parts(reading)]
    lost += _lost_blanks(pages, (*rows, *reading.left_out, *lost))
    return replace(reading, left_out=(*reading.left_out, *lost))


def tokens(text: str) -> Counter[str]:
    """Return the words and numbers of ``text``, and how often each occurs."""
    plain = unicodedata.normalize("NFKC", _RAISED.sub(" ", text)).casefold()
    return Counter(_TOKEN.findall(plain))


def _mark_columns(rows: Iterable[Row]) -> Counter[int]:
    """Return for each page how many columns of its table are for a tick, a number or a name."""
    found: Counter[int] = Counter()
    for row in rows:
        marks = sum(name in _MARKS for name in head_parts(row))
        found[row.origin.page] = max(found[row.origin.page], marks)
    return found


def _with_values_kept(guess: Guess, marks: int) -> Guess:
    """Return ``guess``, in doubt if its lines have more blanks than its replies.

    A blank in the challenge is a value too; as many as there are ``marks`` are for a pencil.
    """
    said = (guess.printed, f"{guess.item.challenge} | {guess.raw}")
    led = bool(guess.raw) and OPEN_DOTS.search(guess.origin.text) is not None
    printed = max(blanks_in(guess.origin.text) - marks + led, *map(blanks_in, said))
    kept = sum(reply.count("{") for reply in guess.item.responses)
    if printed <= kept or not _ASKED.isdisjoint(guess.doubts):
        return guess
    return replace(guess, doubts=(*guess.doubts, Doubt.HOLE))


def _lost_blanks(pages: Iterable[Page], told: Iterable[Row | LeftOut]) -> Iterator[LeftOut]:
    """Yield blanks of a page that stand in no line that was read and in none that was left out.

    A line holds as many printed ones as its text has; a drawn one may have led to a response.
    """
    origins = [one.origin for one in told]
    for page in pages:
        places = [
            (o.box, [len(_RUN.findall(o.text))])
            for o in origins
            if o.page == page.number and o.box and _RUN.search(o.text)
        ]
        for word in (w for w in page.words for _ in WRITTEN_ON.findall(w.text)):
            left = next((n for box, n in places if n[0] > 0 and _holds(box, word.box)), [0])
            left[0] -= 1
            if left[0] < 0:
                yield LeftOut(Origin(page.number, 0, BLANK, word.box), NOT_PLACED)
        for word in blank_words(page):
            if not any(_holds(place, word.box) for place, _ in places):
                yield LeftOut(Origin(page.number, 0, BLANK, word.box), NOT_PLACED)


def _holds(place: Box, blank: Box) -> bool:
    """Say whether the middle of a blank is on a line, or as near as a letter is high."""
    near, across = blank.height, (blank.left + blank.right) / 2
    level = place.top - near < blank.middle < place.bottom + near
    return level and place.left - near < across < place.right + near


def _lost_words(pages: Iterable[Page], rows: Iterable[Row], reading: Reading) -> Iterator[LeftOut]:
    """Yield words of a page that are in none of its rows, and words printed sideways."""
    read: dict[int, Counter[str]] = {}
    for origin in (*(row.origin for row in rows), *(out.origin for out in reading.left_out)):
        read.setdefault(origin.page, Counter()).update(tokens(origin.text))
    for page in pages:
        left = read.get(page.number, Counter())
        lost: list[Word] = []
        for word in page.words:
            inside = tokens(word.text)
            if inside - left:
                lost.append(word)
            left.subtract(inside)
        yield from (_as_left_out(page, words, NOT_PLACED) for words in _level(lost))
        yield from (_as_left_out(page, words, TURNED) for words in _upright(page.turned))


def _level(words: Iterable[Word]) -> Iterator[list[Word]]:
    """Yield words on one line together."""
    held: list[Word] = []
    for word in words:
        if held and abs(held[-1].box.middle - word.box.middle) > held[-1].box.height / 2:
            yield held
            held = []
        held.append(word)
    if held:
        yield held


def _upright(words: Iterable[Word]) -> Iterator[list[Word]]:
    """Yield words that run up the page in one line together."""
    held: list[Word] = []
    for word in words:
        apart = held and abs(held[-1].box.left - word.box.left) > max(word.box.width, 1.0)
        far = held and held[-1].box.top - word.box.bottom > 2 * word.box.width
        if apart or far:
            yield held
            held = []
        held.append(word)
    if held:
        yield held


def _as_left_out(page: Page, words: Sequence[Word], why: str) -> LeftOut:
    box = Box.around(word.box for word in words)
    return LeftOut(Origin(page.number, 0, " ".join(word.text for word in words), box), why)


def _lost_rows(reading: Reading, rows: Iterable[Row]) -> Iterator[LeftOut]:
    """Yield rows that are in no item and in nothing else that is shown."""
    items: dict[int, list[str]] = {}
    guesses = reading.guesses
    for guess in guesses:
        items.setdefault(guess.origin.page, []).append(guess.origin.text)
    out = {(one.origin.page, one.origin.line, one.origin.text) for one in reading.left_out}
    shown = list(_shown_elsewhere(reading))
    rows = list(rows)
    unheld = _unheld_blanks(guesses, rows)
    for row in rows:
        origin = row.origin
        if (origin.page, origin.line, origin.text) in out:
            continue
        if id(row) in unheld:
            yield LeftOut(origin, NOT_PLACED)  # a value in a heading, or alone
            continue
        if not tokens(origin.text):
            continue
        if any(origin.text in text for text in items.get(origin.page, ())):
            continue
        if not any(_is_within(origin.text, told) for told in shown):
            yield LeftOut(origin, NOT_PLACED)


def _unheld_blanks(guesses: Sequence[Guess], rows: Sequence[Row]) -> set[int]:
    """Return the rows with a blank that no item holds; a line of an item holds one row only."""
    left = [guess.origin.text for guess in guesses]
    unheld: set[int] = set()
    for row in sorted(rows, key=lambda one: -len(one.origin.text)):
        text = row.origin.text
        if not blanks_in(text):
            continue
        for at, guess in enumerate(guesses):
            if text in left[at] and _is_over(guess.origin, row.origin):
                left[at] = left[at].replace(text, " ", 1)
                break
        else:
            unheld.add(id(row))
    return unheld


def _is_over(one: Origin, other: Origin) -> bool:
    """Say whether one place covers a good part of another."""
    if one.box is None or other.box is None:
        return one.page == other.page and other.text in one.text
    over = one.box.down(other.box) > 0.3 * other.box.height and one.box.across(other.box) > 0
    return one.page == other.page and over


def _shown_elsewhere(reading: Reading) -> Iterator[Counter[str]]:
    """Yield the words of each heading, condition, note and call."""
    texts = {reading.title, reading.completion_call}
    for title, call in reading.calls:
        texts |= {title, call}
    for guess in reading.guesses:
        item = guess.item
        texts |= {guess.section, guess.of_list, guess.condition, item.note, item.caution, item.when}
    yield from (tokens(text) for text in texts if text)


def _is_within(text: str, told: Mapping[str, int]) -> bool:
    bare = TICK.sub("", _COUNT.sub("", BULLET.sub("", text)))
    left = {word for word in tokens(bare) if word not in told}
    return left <= _OF_HEADINGS | _NOTE_WORDS


_NOTE_WORDS: Final = frozenset({
    "note", "notes", "caution", "cautions", "warning", "warnings", "remark", "remarks", "nb",
    "complete", "completed", "n", "b",
})  # fmt: skip


def _lost_parts(reading: Reading) -> Iterator[LeftOut]:
    """Yield what an item does not hold of the lines that it comes from."""
    for guess in reading.guesses:
        if not guess.printed:
            continue
        bare = TICK.sub("", _COUNT.sub("", BULLET.sub("", guess.origin.text)))
        held = tokens(f"{guess.printed} {guess.item.note} {guess.item.caution}")
        held += tokens(guess.printed.replace("-", "").replace(" ", ""))
        lost = tokens(bare) - held
        numbers = tokens(guess.raw) - tokens(_said(guess))
        lost += Counter({word: n for word, n in numbers.items() if word.isdigit()})
        joined = "".join(_TOKEN.findall(guess.printed.casefold()))
        words = [word for word in lost if word not in joined and word not in _JOINING]
        words = [word for word in words if word != "x" or not guess.item.who]  # who answers
        if words:
            yield LeftOut(replace(guess.origin, text=" ".join(words)), NOT_PLACED)


def _said(guess: Guess) -> str:
    item = guess.item
    blanks = " ".join(blank.words for blank in guess.blanks)
    return " ".join((*item.responses, item.note, item.when, item.challenge, blanks))
