"""What a repair of a journal did, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.model.counting import counted_noun
from callout.journal.repair import Repaired

_MOST = 20


def repair_lines(done: Repaired) -> Iterator[str]:
    """Yield what was kept, what was not, and where the damaged file is."""
    if done.original is None:
        yield f"{done.path} is undamaged: {counted_noun(done.kept, 'record')}. Nothing was changed."
        return
    for number, why in done.bad[:_MOST]:
        yield f"Line {number} is damaged: {why}."
    if len(done.bad) > _MOST:
        yield f"... and {counted_noun(len(done.bad) - _MOST, 'line')} more."
    if done.torn:
        yield "The last line was incomplete."
    yield f"Kept: {counted_noun(done.kept, 'record')}, in {done.path}"
    for loss in done.lost:
        yield f"Lost: {_which(loss.first, loss.last)}. The session had ended; the rest counts."
    if done.since:
        yield (
            f"Left out: {counted_noun(done.after, 'whole record')} from "
            f"{done.since:%H:%M:%S} UTC on, because nobody knows what the lost records changed. "
            "A resume asks again from there."
        )
    yield f"The damaged file is kept as {done.original}"


def _which(first: int, last: int) -> str:
    return f"record {first}" if first == last else f"records {first} to {last}"
