"""Trainees side by side and sign-offs, as lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from callout.core.debrief.deviations import CLASSES
from callout.core.instructor.compare import (
    ENOUGH,
    ENOUGH_AT_ITEM,
    ItemRow,
    Share,
    TraineeComparison,
    TraineeRow,
    TraineeStanding,
    TraineeTimes,
)
from callout.core.instructor.sign_off import SignOff
from callout.core.instructor.verifying import SignOffFinding, What
from callout.core.sentences import reports
from callout.core.sentences import session as sentences

_STANDINGS = {
    TraineeStanding.ALONE: "",
    TraineeStanding.TOO_FEW: "too few to compare",
    TraineeStanding.NO_DIFFERENCE: "no difference shown",
    TraineeStanding.MORE: "more than the others",
    TraineeStanding.FEWER: "fewer than the others",
}
_WIDTH = 20


def comparison_lines(found: TraineeComparison) -> Iterator[str]:
    """Yield the comparison, one fact per line."""
    yield reports.DEVIATIONS_COUNTED
    yield reports.BRACKETS_EXPLAINED
    yield ""
    for row in found.trainees:
        yield from _trainee_lines(row)
    yield ""
    yield from _item_lines(found)
    yield ""
    yield reports.TRAINEE_ORDER_EXPLAINED


def _trainee_lines(row: TraineeRow) -> Iterator[str]:
    standing = _STANDINGS[row.standing]
    yield f"{row.name[:40]:<{_WIDTH}} {_share(row.share)}{f'  {standing}' if standing else ''}"
    yield f"  {row.sessions} sessions, {row.completed} completed. {_times_words(row.times)}"
    causes = sorted(row.causes.items(), key=lambda pair: (-pair[1], pair[0].value))
    if causes:
        yield "  " + ", ".join(f"{CLASSES[d].name.lower()} {n}" for d, n in causes)


def _item_lines(found: TraineeComparison) -> Iterator[str]:
    if found.items:
        yield sentences.ITEMS_THAT_DIFFER
        yield from (_item_line(row) for row in found.items)
    elif found.item_comparisons:
        yield sentences.NO_ITEM_DIFFERS
    else:
        yield sentences.NO_ITEM_COMPARED
    yield (
        f"  ({found.item_comparisons} comparisons made; one in twenty named may be chance; "
        f"fewer than {ENOUGH_AT_ITEM} sessions at an item, or {ENOUGH} items in all, "
        "are not compared.)"
    )


def _item_line(row: ItemRow) -> str:
    where = ", ".join(part for part in (row.title, row.aircraft) if part)
    return (
        f"  {row.name[:40]}: {row.challenge} ({where}) {_share(row.own)}, others "
        f"{_share(row.others)}: {_STANDINGS[row.standing]}"
    )


def _share(share: Share) -> str:
    if not share.met:
        return "none met"
    low, high = share.interval
    rate = 100 * share.wrong / share.met
    return f"{share.wrong} of {share.met}, {rate:.1f} % [{100 * low:.1f} to {100 * high:.1f}]"


def _times_words(times: TraineeTimes) -> str:
    if times.middle is None:
        return sentences.NO_REPLY_TIMED
    bounds = "" if times.low is None else f" [{times.low:.1f} to {times.high:.1f}]"
    return reports.median_reply_of(times.middle, bounds, times.count)


def comparison_json(found: TraineeComparison) -> dict[str, Any]:
    """Return the comparison as JSON-ready values."""
    return {
        "trainees": [_trainee_json(row) for row in found.trainees],
        "items": [
            {
                "trainee": row.name,
                "aircraft": row.aircraft,
                "list": row.list_id,
                "item": row.item_id,
                "title": row.title,
                "challenge": row.challenge,
                "own": _share_json(row.own),
                "others": _share_json(row.others),
                "standing": row.standing.value,
            }
            for row in found.items
        ],
        "item_comparisons": found.item_comparisons,
    }


def _trainee_json(row: TraineeRow) -> dict[str, Any]:
    return {
        "trainee": row.name,
        "sessions": row.sessions,
        "completed": row.completed,
        "share": _share_json(row.share),
        "standing": row.standing.value,
        "difference": list(row.difference),
        "causes": {d.value: n for d, n in row.causes.items()},
        "reply_seconds": {
            "count": row.times.count,
            "median": row.times.middle,
            "low": row.times.low,
            "high": row.times.high,
        },
    }


def _share_json(share: Share) -> dict[str, Any]:
    return {"wrong": share.wrong, "met": share.met, "interval": list(share.interval)}


def sign_off_line(record: SignOff) -> str:
    """Return one sign-off as a line."""
    said = record.statement
    count = len(record.journals)
    sessions = f"{count} session{'' if count == 1 else 's'}"
    who = f"{said.trainee}, {said.result.value}, by {said.instructor}" if said else "forgotten"
    remark = f": {said.remark}" if said and said.remark else ""
    return f"{record.seq:>4}  {record.utc:%Y-%m-%d %H:%M} UTC  {sessions}  {who}{remark}"


def finding_line(found: SignOffFinding) -> str:
    """Return a finding as a sentence."""
    line = f", line {found.line}" if found.line else ""
    sign_off = f"Sign-off {found.seq}"
    journal = f"{sign_off}: journal {found.session}{line}" if found.session else sign_off
    return _FINDINGS[found.what].format(sign_off=sign_off, journal=journal, line=found.line)


_FINDINGS = {
    What.SIGN_OFF_CHANGED: sentences.SIGN_OFF_CHANGED,
    What.STATEMENT_CHANGED: sentences.NAMES_CHANGED,
    What.BEFORE_CHANGED: (sentences.CHAIN_BROKEN),
    What.LAST_MISSING: (sentences.HASH_NOT_FOUND),
    What.UNREADABLE: sentences.LINE_NOT_A_SIGN_OFF,
    What.JOURNAL_CHANGED: sentences.JOURNAL_CHANGED,
    What.JOURNAL_CUT: sentences.REST_MISSING,
    What.JOURNAL_MISSING: sentences.JOURNAL_NOT_FOUND,
    What.WENT_ON: sentences.ADDED_AFTER_SIGNING,
    What.FORGOTTEN: sentences.FORGOTTEN_ON_REQUEST,
    What.BLANKED: sentences.REMOVED_BY_HAND,
}
