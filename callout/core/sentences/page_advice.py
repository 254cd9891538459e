"""Advice that names a command of the terminal, told to somebody who has the page open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_VIEWS: Final[Mapping[str, str]] = {
    "doctor": "Sound check", "mic": "Sound check", "devices": "Sound check", "hear": "Sound check",
    "model": "Sound check", "drill": "Drills", "resume": "Lists", "run": "Lists", "fly": "Lists",
    "list": "Lists", "show": "Lists", "check": "Lists", "export": "Lists", "new": "New list",
    "journal": "Debriefs", "replay": "Debriefs", "debrief": "Debriefs", "wordings": "Debriefs",
    "trends": "Trends", "config": "Settings", "settings": "Settings", "page": "Lists",
}  # fmt: skip
"""Command -> the view of the page that does the same."""
_FILES: Final[tuple[tuple[re.Pattern[str], str], ...]] = (
    (
        re.compile(r"(?:Add|Give it with) `\w+:` (?:to|in) the flight file\."),
        "Fill it in under Values of the flight.",
    ),
    (re.compile(r"Add `\w+: unknown` to its facts\."), "Answer it under Values of the flight."),
    (
        re.compile(r"Add `wrong:` with the name of the other position\."),
        "Under the response, on a line of its own, write the position that would be wrong, "
        "such as wrong: off",
    ),
    (re.compile(r"\bflight file\b"), "flight data"),
)  # fmt: skip
"""Advice that names a file or a key -> what to do on the page."""
_ARGUMENTS: Final = (
    r"(?: (?:--?[a-z][\w-]*|[A-Z_]{2,}|\"[A-Z ]+\"|[a-z]+\.[a-z_]+(?: (?:true|false|[\w.]*\d))?"
    r"|[\w/.-]*\d[\w/.-]*\b|[\w/.-]+\.(?:yaml|jsonl|wav)))*"
)
_COMMAND: Final = re.compile(
    r"(?P<lead>\b[Rr]un:? |\b[Uu]se |\bwith:? |: |, )?"
    r"(?:(?P<tick>`)callout (?P<quoted>[a-z]+)[^`]*`|callout (?P<bare>[a-z]+)" + _ARGUMENTS + r")"
    r"(?P<then>(?= [a-z]+s\b)| --help)?"
)


def for_the_page(text: str) -> str:
    """Return ``text`` with commands replaced by the view that does the same.

    Commands without such a view stay, and so does every other word. What names a key of the flight
    file names the form instead.
    """
    for said, instead in _FILES:
        text = said.sub(instead, text)
    return _COMMAND.sub(_view_for, text)


def _view_for(found: re.Match[str]) -> str:
    view = _VIEWS.get(found["quoted"] or found["bare"])
    if view is None:
        return found[0]
    lead, does = found["lead"] or "", found["then"] is not None
    bare = lead.strip().rstrip(":").casefold()
    if bare == "with":
        return f"under {view} on this page"
    if bare in ("run", "use"):
        return f"{'Open' if lead[0].isupper() else 'open'} {view} on this page"
    opens = lead in (": ", ", ") and not does
    return f"{lead}{'open ' if opens else ''}{view} on this page"
