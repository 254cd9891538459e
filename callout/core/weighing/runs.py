"""Several items in one line, or run on over the lines of a paragraph."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from callout.core.authoring.likely import challenge_likeness, response_likeness
from callout.core.authoring.splitting import split_text
from callout.core.paper.page import Row
from callout.core.weighing.lines import FEWEST, LARGER, cut_in_two
from callout.core.weighing.orders import PUNCTUATION, said_last
from callout.core.weighing.signs import SIGN, is_between

_HEAD: Final = re.compile(
    r"((?i:before|after|on|in|at|during)\b[^:;,.]{2,30}|[A-Z][A-Z -]{2,30}):\s"
)
"""The phase that a paragraph begins with: "Before taxi: ..."."""
_CLOSE: Final = 1.3
_MOST_PARTS: Final = 60
_NEARLY: Final = 0.75
"""Share from which the other parts are asked about."""
_MOSTLY: Final = 0.6
"""Share of the parts of a paragraph that have to say a state."""


def ways_of_runs(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Yield rows where a paragraph holds several items, one after the other."""
    made = [row for block in _blocks(rows) for row in _run_apart(block)]
    if len(made) != len(rows):
        yield made


def _blocks(rows: Sequence[Row]) -> list[list[Row]]:
    """Return lines that stand close under one another together."""
    blocks: list[list[Row]] = []
    for row in rows:
        close = blocks and row.gap < _CLOSE and row.origin.page == blocks[-1][-1].origin.page
        headed = close and blocks[-1][-1].bold and not row.bold
        headed = headed or _HEAD.match(row.origin.text) is not None
        if close and not headed and not row.bullet and row.height < LARGER:
            blocks[-1].append(row)
        else:
            blocks.append([row])
    return blocks


def _run_apart(block: Sequence[Row]) -> list[Row]:
    text = " ".join(row.origin.text for row in block)
    head = _HEAD.match(text)
    if head is not None and len(block[0].origin.text) > len(head[0]):
        text = text[head.end() :]
    best: list[tuple[str, str]] = []
    for divider in dict.fromkeys(m[0] for m in re.finditer(r"[^\w\s()'\"_]|,", text)):
        pieces = re.split(rf"{re.escape(divider)}(?=\s|$)", text)
        parts = [piece.strip() for piece in pieces if piece.strip()]
        if not FEWEST <= len(parts) <= _MOST_PARTS:
            continue
        halves = [pair for pair in map(_two_parts, parts) if pair]
        if len(halves) < len(parts):  # most say a state, and each is divided at the same sign
            sure = len(halves) >= max(FEWEST - 1, _MOSTLY * len(parts))
            named = [pair for pair in map(_named_parts, parts) if pair] if sure else []
            nearly = len(halves) >= max(FEWEST, _NEARLY * len(parts))
            every = [_two_parts(part) or (part.rstrip(PUNCTUATION), "") for part in parts]
            halves = named if len(named) == len(parts) else every if nearly else []
        if len(halves) == len(parts) and len(halves) > len(best):
            best = halves
    if len(best) + (head is not None) <= len(block):
        return list(block)
    made = [_piece(block[0], challenge, response) for challenge, response in best]
    if head is None:
        return made
    cell = replace(block[0].cells[0], text=head[1])
    origin = replace(block[0].origin, text=head[0].strip())
    return [replace(block[0], cells=(cell,), origin=origin, heading=True), *made]


def _named_parts(text: str) -> tuple[str, str] | None:
    """Return what a colon or a dash between words divides."""
    found = re.fullmatch(
        r"([^:\u2013]{2,40}?)(?::\s+|\s+[\u2013-]\s+)(\S.{0,50})", text.rstrip(PUNCTUATION)
    )
    named = found is not None and challenge_likeness(found[1]) > 0.5
    return (found[1].strip(), found[2].strip()) if found and named else None


def _two_parts(text: str) -> tuple[str, str] | None:
    bare = text.rstrip(PUNCTUATION)
    found = split_text(bare)
    pair = (found.challenge, found.response)
    if not found.response:
        sign = next((m for m in SIGN.finditer(bare) if is_between(bare, m)), None)
        pair = (bare[: sign.start()].strip(), bare[sign.end() :].strip()) if sign else ("", "")
    if not pair[1]:
        pair = said_last(bare) or ("", "")
    likely = pair[0] and pair[1] and challenge_likeness(pair[0]) > 0.5
    return pair if likely and response_likeness(pair[1]) > 0.6 and len(bare) < 90 else None


def _piece(row: Row, challenge: str, response: str) -> Row:
    made = cut_in_two(row, challenge, response)
    return replace(made, origin=replace(row.origin, text=f"{challenge} {response}"), bullet=True)
