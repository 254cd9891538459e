"""The result of repairing a journal, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.model.counting import counted_noun
from callout.core.sentences.commands import report_answers as sentences
from callout.journal.repair import Repaired

_MOST = 20


def repair_lines(done: Repaired) -> Iterator[str]:
    """Yield what was kept, what was not, and where the damaged file is."""
    if done.original is None:
        yield sentences.undamaged_nothing_changed(done.path, counted_noun(done.kept, "record"))
        return
    for number, why in done.bad[:_MOST]:
        yield sentences.line_damaged(number, why)
    if len(done.bad) > _MOST:
        yield f"... and {counted_noun(len(done.bad) - _MOST, 'line')} more."
    if done.torn:
        yield sentences.LAST_LINE_INCOMPLETE
    yield f"Kept: {counted_noun(done.kept, 'record')}, in {done.path}"
    for loss in done.lost:
        yield sentences.lost_session_had_ended(_which(loss.first, loss.last))
    if done.since:
        yield sentences.records_left_out(counted_noun(done.after, "whole record"), done.since)
    yield f"The damaged file is kept as {done.original}"


def _which(first: int, last: int) -> str:
    return f"record {first}" if first == last else f"records {first} to {last}"
