"""A screen as plain values for the page."""

from __future__ import annotations

from typing import Any

from callout.core.conversation.view_model import Doing, Row, ViewModel
from callout.core.model.utterance import ReplySource

_VERBS = {ReplySource.VOICE: "Heard", ReplySource.KEYBOARD: "Typed", ReplySource.KEY: "Key"}


def screen_json(view: ViewModel) -> dict[str, Any]:
    """Return ``view`` as JSON values; enums by name for styling, by value for words."""
    return {
        "title": view.title,
        "section": view.section,
        "unit": view.unit,
        "place": _item_place(view),
        "challenge": _shown_challenge(view),
        "question": view.question,
        "role": view.role,
        "critical": view.critical,
        "cautions": view.cautions,
        "notes": view.notes,
        "doing": _member_name(view.doing),
        "heard": "" if view.heard_told else heard_words(view),
        "verdict": _member_name(view.verdict),
        "settled": view.settled,
        "sentence": view.sentence,
        "lines": view.lines,
        "options": view.options,
        "answers": view.answers,
        "controls": [{"key": c.key, "words": c.words} for c in view.controls],
        "deferred": view.deferred,
        "done": view.done,
        "total": view.total,
        "quiet": view.quiet,
        "pace": view.pace,
        "troubles": [trouble.message for trouble in view.troubles],
        "rows": [_row_json(row, n == view.current) for n, row in enumerate(view.rows)],
    }


def heard_words(view: ViewModel) -> str:
    """Return what was heard, typed or pressed, with its verb; empty if nothing was."""
    if not view.heard and view.heard_from is not ReplySource.VOICE:
        return ""
    words = f'"{view.heard}"' if view.heard else "a sound, but no words"
    doubt = "" if view.heard_sure else " (not sure)"
    seat = f" from the {view.heard_seat}" if view.heard_seat else ""
    return f"{_VERBS[view.heard_from or ReplySource.VOICE]}: {words}{seat}{doubt}"


def _shown_challenge(view: ViewModel) -> str:
    asking = view.current is not None and not view.question and view.doing is not Doing.HOLDING
    return f"{view.challenge.rstrip('?. ')}?" if asking else view.challenge


def _item_place(view: ViewModel) -> str:
    if view.current is None:
        return ""
    return f"{view.unit.capitalize()} {view.current + 1} of {len(view.rows)}"


def _row_json(row: Row, current: bool) -> dict[str, Any]:
    return {
        "number": row.number,
        "challenge": row.challenge,
        "status": row.status.name.lower(),
        "word": row.status.value,
        "note": row.note,
        "critical": row.critical,
        "section": row.section,
        "current": current,
    }


def _member_name(member: Any) -> str:
    return member.name.lower() if member else ""
