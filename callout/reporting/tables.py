"""Reports as CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import datetime
from enum import Enum
from typing import Any

from callout.core.debrief.deviations import STUDY
from callout.core.debrief.session import Debrief, Looked, SessionReport, classes_of

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Beginnings that make a spreadsheet read a formula (OWASP, CSV Injection)."""

Row = Mapping[str, Any]


def csv_text(rows: Iterable[Row], safety: str) -> str:
    """Return ``rows`` as CSV (RFC 4180), with the safety note as the last column of each row.

    A text that could begin a formula gets a leading apostrophe; numbers stay numbers.
    """
    table = [{**row, "note": safety} for row in rows] or [{"note": safety}]
    out = io.StringIO()
    names = list(table[0])
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([harmless_cell(name) for name in names])
    writer.writerows([harmless_cell(row.get(name)) for name in names] for row in table)
    return out.getvalue()


def harmless_cell(value: Any) -> str:
    """Return one value as a harmless cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}" if math.isfinite(value) else ""
    if isinstance(value, int):
        return str(value)
    text = _cell_text(value).replace("\0", "")
    risky = text.startswith(_FORMULA) or text.lstrip().startswith(_FORMULA)
    return f"'{text}" if risky or text.startswith("'") else text


def json_text(value: Any, safety: str) -> str:
    """Return ``value`` as JSON text (RFC 8259) with the safety note; NaN never occurs."""
    found = {"safety": safety, **_plain_value(value)}
    return json.dumps(found, ensure_ascii=True, indent=2, allow_nan=False) + "\n"


def debrief_rows(report: SessionReport) -> Iterable[Row]:
    """Yield one row per item."""
    for debrief in report.debriefs:
        for looked in debrief.items:
            yield _item_row(debrief, looked)


def _item_row(debrief: Debrief, looked: Looked) -> Row:
    session, item = debrief.session, looked.item
    return {
        "session": session.session_id,
        "began": session.began,
        "person": session.person,
        "aircraft": session.aircraft,
        "list": session.list_id,
        "phase": session.phase,
        "position": item.position + 1,
        "item": item.item_id,
        "challenge": item.challenge,
        "role": item.role,
        "critical": item.critical,
        "outcome": looked.outcome,
        "replies": item.tries,
        "wrong": item.mismatches,
        "not_set": item.not_set,
        "shown": item.shown,
        "unclear": item.unclear,
        "deferred": item.deferred,
        "skip_reason": item.skip_reason,
        "out_of_order": item.out_of_order,
        "too_fast": item.fast,
        "slow": item.slow,
        "reply_s": item.reply_seconds,
        "usual_s": looked.usual.median if looked.usual else None,
        "total_s": item.total_seconds,
        "heard": " / ".join(reply.verbatim for reply in item.heard),
        "deviations": ", ".join(d.value for d in item.deviations),
    }


def debrief_json(report: SessionReport) -> dict[str, Any]:
    """Return a report as plain values."""
    return {
        "classes_follow": STUDY,
        "deviations": {d.value: n for d, n in classes_of(report).items()},
        "flight": asdict(report.flight) if report.flight else None,
        "sessions": [
            {
                "session": asdict(d.session),
                "items": [_item_json(x) for x in d.items],
                "timeline": asdict(d.timeline),
                "advice": [asdict(a) for a in d.advice],
            }
            for d in report.debriefs
        ],
        "problems": report.problems,
    }


def _item_json(looked: Looked) -> dict[str, Any]:
    return {
        **asdict(looked.item),
        "usual": asdict(looked.usual) if looked.usual else None,
        "notes": looked.notes,
    }


def _cell_text(value: Any) -> str:
    if isinstance(value, Enum):
        return str(value.value)
    return value.isoformat() if isinstance(value, datetime) else str(value)


def _plain_value(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {_cell_text(k): _plain_value(v) for k, v in value.items()}
    if isinstance(value, tuple | list):
        return [_plain_value(v) for v in value]
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if value is None or isinstance(value, bool | int | str):
        return value
    return _cell_text(value)
