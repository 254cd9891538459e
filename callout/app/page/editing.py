"""The list editor's back end: reading, checking, previewing, trying and saving a list.

Files on disk are compared by hash: a list that changed under the editor is never overwritten
without asking, and what a person typed stays in the browser until it is saved.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from callout.app.list_files.checking import check_among
from callout.app.page.request_fields import Answer, Handler, text_in
from callout.app.page.shelf import Shelf, ShelfGroup, ShelfList
from callout.app.shared.checklist_files import FLIGHT_FILE, MAX_BYTES, read_text
from callout.app.shared.found_files import FoundFile, found_in
from callout.app.shared.safety import SAFETY
from callout.app.shared.tables import default_tables
from callout.core.model.checklist import Checklist
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.planning.needed_values import needed_values, open_values
from callout.core.sentences import page as sentences
from callout.core.sentences.page_advice import for_the_page
from callout.errors import CalloutError
from callout.outlet import save_text
from callout.web.documents import Documents

if TYPE_CHECKING:
    from callout.core.authoring.guesses import Reading

_NAME = re.compile(r"[^a-z0-9]+")


class Editing:
    """Handles lists being written."""

    def __init__(self, shelf: Shelf, documents: Documents) -> None:
        self._shelf = shelf
        self._documents = documents

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {
            "edit": self._edit,
            "mark": self._mark,
            "check": self._check,
            "card": self._card,
            "judge": self._judge,
            "save": self._save,
            "copy": self._copy,
            "new-list": self._new_list,
        }

    def _edit(self, wish: Mapping[str, Any]) -> Answer:
        group, one = self._shelf.find_list(text_in(wish, "list"))
        text = read_text(one.path)
        return {
            "text": text,
            "mark": mark_of(text),
            "own": group.own,
            "title": one.title,
            "group": group.title,
            "file": str(one.path),
            **_values_wanted(group, one),
        }

    def _mark(self, wish: Mapping[str, Any]) -> Answer:
        """Return the mark of what is on disk now; empty: the file is gone."""
        try:
            _, one = self._shelf.find_list(text_in(wish, "list"))
            return {"mark": mark_of(read_text(one.path))}
        except CalloutError:
            return {"mark": ""}

    def _check(self, wish: Mapping[str, Any]) -> Answer:
        group, file = self._written(wish)
        checked = check_among(file, self._shelf.beside(group))
        rows = [
            {
                "line": f.line,
                "severity": f.severity.value,
                "message": for_the_page(f.message.removeprefix(f"{file.path}, line {f.line}: ")),
                "hint": for_the_page(f.hint),
            }
            for f in checked.findings
        ]
        found = file.content
        items = _item_rows(found) if isinstance(found, Checklist) else []
        title = found.title if isinstance(found, Checklist) else ""
        return {"findings": rows, "items": items, "title": title}

    def _card(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.list_files.card_html import html_of
        from callout.core.printing.card import Size, card_lines
        from callout.core.printing.shown_list import shown_list

        group, file = self._written(wish)
        checklist = _usable(file)
        today = datetime.now().astimezone().date().isoformat()
        shown = shown_list(checklist, group.flight, default_tables())
        card = tuple(card_lines(shown, today))
        return {"page": self._documents.keep(html_of([card], Size.A5, False, SAFETY))}

    def _judge(self, wish: Mapping[str, Any]) -> Answer:
        """Judge typed words at an item, as a session would."""
        from callout.core.judging.judge import judge_reply
        from callout.core.planning.run_plan import plan_for

        group, file = self._written(wish)
        flight: Flight = group.flight or EMPTY_FLIGHT
        plan = plan_for(_usable(file), flight, default_tables())
        at = plan.index(text_in(wish, "item"))
        if at is None:
            raise CalloutError(sentences.ITEM_GONE)
        words = " ".join(text_in(wish, "words").split())
        found = judge_reply(words, plan.items[at].expectation, default_tables())
        return {"verdict": found.verdict.value, "reason": found.reason, "why": list(found.trace)}

    def _save(self, wish: Mapping[str, Any]) -> Answer:
        """Write a list, unless it has changed on disk since it was read."""
        group, one = self._shelf.find_list(text_in(wish, "list"))
        text = text_in(wish, "text", MAX_BYTES)
        if not group.own:
            raise CalloutError(sentences.SHIPPED_LIST, sentences.COPY_IT)
        try:
            there = read_text(one.path)
        except CalloutError:
            there = ""
        if mark_of(there) not in (text_in(wish, "mark"), mark_of(text)):
            return {"changed": True, "text": there, "mark": mark_of(there)}
        save_text(one.path, text, sentences.THE_LIST, as_it_is=True)
        return {"changed": False, "mark": mark_of(text)}

    def _copy(self, wish: Mapping[str, Any]) -> Answer:
        """Copy a shipped list to the person's own lists, with the flight data it needs."""
        group, one = self._shelf.find_list(text_in(wish, "list"))
        folder = self._shelf.own / _file_name(group.folder.name)
        path = free_path(folder, one.path.stem)
        beside = group.folder / FLIGHT_FILE
        if beside.is_file() and not (folder / FLIGHT_FILE).exists():
            save_text(folder / FLIGHT_FILE, read_text(beside), sentences.THE_LIST, folders=True)
        save_text(path, read_text(one.path), sentences.THE_LIST, folders=True, as_it_is=True)
        return {"list": self._shelf.own_key(path)}

    def _new_list(self, wish: Mapping[str, Any]) -> Answer:
        """Make a list from lines such as "Beacon: on"."""
        from callout.app.authoring.sources import known_rivals
        from callout.core.authoring.texts import read_list_text

        title = " ".join(text_in(wish, "title", 80).split())
        lines = text_in(wish, "lines", 50_000)
        reading = read_list_text(lines, known_rivals(), title)
        if not title or not reading.guesses:
            raise CalloutError(sentences.NO_ITEMS_WRITTEN, sentences.HOW_TO_WRITE)
        return written_list(self._shelf, wish, reading, title)

    def _written(self, wish: Mapping[str, Any]) -> tuple[ShelfGroup, FoundFile]:
        """Return the text of a request as it would be in the file that the request names."""
        group, one = self._shelf.find_list(text_in(wish, "list"))
        return group, found_in(text_in(wish, "text", MAX_BYTES), one.path)


def _values_wanted(group: ShelfGroup, one: ShelfList) -> Answer:
    """Return where the values of the flight are filled in, and how many are still open."""
    flight = group.flight or EMPTY_FLIGHT
    found = one.checklist
    needs = found is not None and needed_values([found], flight).anything
    return {
        "place": group.key,
        "values": "list" if needs else "all" if one is group.data else "",
        "open_values": len(open_values(found, flight)) if found else 0,
    }


def written_list(shelf: Shelf, wish: Mapping[str, Any], reading: Reading, title: str) -> Answer:
    """Write a list, and the flight data that its blanks need; return its key."""
    from callout.app.authoring.writing import (
        confirmed_draft,
        flight_change,
        list_text,
        write_flight,
    )

    path = free_path(plane_folder(shelf.own, wish), title)
    text = list_text(confirmed_draft(reading, title))
    change = flight_change(path, reading)
    save_text(path, text, sentences.THE_LIST, folders=True)
    missing = [] if change is None or write_flight(change) else list(change.lines)
    return {"list": shelf.own_key(path), "missing": missing}


def mark_of(text: str) -> str:
    """Return a hash that distinguishes one text from another."""
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def free_path(folder: Path, name: str) -> Path:
    """Return a path of that name that does not exist yet."""
    stem = _file_name(name)
    stem = f"{stem}-list" if f"{stem}.yaml" == FLIGHT_FILE else stem
    names = (stem, *(f"{stem}-{number}" for number in range(2, 1000)))
    return next(path for n in names if not (path := folder / f"{n}.yaml").exists())


def plane_folder(own: Path, wish: Mapping[str, Any]) -> Path:
    """Return the folder of the aircraft that a request names, among the person's own."""
    return own / _file_name(text_in(wish, "plane", 80) or sentences.YOUR_LISTS)


def _file_name(words: str) -> str:
    return _NAME.sub("-", words.casefold()).strip("-")[:60] or "list"


def _usable(file: FoundFile) -> Checklist:
    if isinstance(file.content, Checklist):
        return file.content
    raise file.error or CalloutError(sentences.NOT_A_LIST)


def _item_rows(checklist: Checklist) -> list[Answer]:
    return [
        {
            "id": item.id,
            "challenge": item.challenge,
            "line": item.line,
            "critical": item.critical,
            "replies": [response.text for response in item.responses],
        }
        for item in checklist.items
    ]
