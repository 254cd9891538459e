"""A list as it was read in, line by line, beside the origin of each line."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.authoring.asking import as_printed
from callout.core.authoring.guesses import TURNED, UNPLACED, Guess, LeftOut, Reading
from callout.core.debrief.shown import shown_text
from callout.core.paper.page import Origin
from callout.core.sentences import authoring as say

_CHALLENGE, _RESPONSE, _WHERE = 27, 31, 10


def guess_lines(reading: Reading) -> Iterator[str]:
    """Yield the lines of the table, 78 characters wide; "?" marks doubts."""
    section = ""
    yield say.read_as(shown_text(reading.source), shown_text(reading.title))
    for number, guess in enumerate(reading.guesses, start=1):
        if guess.section != section:
            section = guess.section
            yield f"  {shown_text(section, 70)}"
        yield _guess_line(number, guess)
        extras = tuple(_extra_texts(guess))
        if extras:
            yield f"      {shown_text('; '.join(extras), 70)}"
    if reading.completion_call:
        yield say.ends_with(shown_text(reading.completion_call, 60))
    for out in reading.left_out:
        yield _left_out_line(out)


def _left_out_line(out: LeftOut) -> str:
    said = say.not_placed if out.why in UNPLACED else say.left_out
    said = say.printed_sideways if out.why == TURNED else said
    return said(shown_text(out.origin.text, 50), where_stands(out.origin))


def _guess_line(number: int, guess: Guess) -> str:
    item = guess.item
    reply = as_printed(guess)
    if item.as_required:
        reply = f"as required: {reply or '?'}"
    mark = "?" if guess.doubts else " "
    challenge = shown_text(item.challenge, _CHALLENGE)
    response = shown_text(reply or "?", _RESPONSE)
    where = where_stands(guess.origin)
    return f"{mark}{number:>3} {challenge:<{_CHALLENGE}} {response:<{_RESPONSE}} {where:>{_WHERE}}"


def where_stands(origin: Origin) -> str:
    """Return "page 2, line 5", shortened for a table."""
    if not origin.line:
        return f"p{origin.page}"
    return f"p{origin.page} l{origin.line}" if origin.page else f"line {origin.line}"


def _extra_texts(guess: Guess) -> Iterator[str]:
    item = guess.item
    if item.who:
        yield item.who
    if item.when:
        yield f"when: {item.when}"
    if item.caution:
        yield f"caution: {item.caution}"
    if item.note:
        yield f"note: {item.note}"
