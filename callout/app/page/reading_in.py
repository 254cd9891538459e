"""Reading a manual on the page: a file is added, guesses are confirmed, and a list is made.

What was read stays in memory until the list is made; only the list is written.
"""

from __future__ import annotations

import base64
import secrets
import tempfile
import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, Any

from callout.app.page.editing import written_list
from callout.app.page.request_fields import Answer, Handler, number_in, text_in
from callout.app.page.shelf import Shelf
from callout.core.sentences import authoring as say
from callout.core.sentences import page as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from callout.app.authoring.sources import Source
    from callout.core.authoring.guesses import Guess, Reading

MOST_READINGS = 4
LONGEST = 2_000


@dataclass(slots=True)
class _Read:
    """One file as read, with the confirmations so far."""

    source: Source
    reading: Reading


class ReadingIn:
    """Handles files added to the page."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._read: OrderedDict[str, _Read] = OrderedDict()
        self._lock = threading.Lock()

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {
            "kinds": _kinds,
            "reading": self._reading,
            "decide": self._decide,
            "reword": self._reword,
            "leave-out": self._leave_out,
            "finish": self._finish,
        }

    def bring(self, name: str, data: bytes) -> Answer:
        """Read a file; raises CalloutError if there is no list in it."""
        from callout.app.authoring.sources import KINDS, read_source

        plain = PurePath(name.replace("\\", "/")).name
        kind = PurePath(plain).suffix.casefold()
        if kind not in KINDS:
            raise CalloutError(say.unknown_kind(plain), say.known_kinds(", ".join(KINDS)))
        with tempfile.TemporaryDirectory(prefix="callout-") as folder:
            path = Path(folder) / f"brought{kind}"
            path.write_bytes(data)
            try:
                source = read_source(path)
            except CalloutError as error:
                said = error.message.replace(str(path), plain).replace(path.name, plain)
                raise CalloutError(said, error.hint.replace(str(path), plain)) from error
        title = source.reading.title
        if title.casefold() == "brought":
            title = PurePath(plain).stem.replace("-", " ").replace("_", " ").capitalize()
        key = secrets.token_urlsafe(9)
        reading = replace(source.reading, title=title)
        with self._lock:
            self._read[key] = _Read(source, reading)
            while len(self._read) > MOST_READINGS:
                self._read.popitem(last=False)
        return {"reading": key}

    def _found(self, wish: Mapping[str, Any]) -> _Read:
        found = self._read.get(text_in(wish, "reading"))
        if found is None:
            raise CalloutError(sentences.READING_GONE, sentences.BRING_AGAIN)
        return found

    def _reading(self, wish: Mapping[str, Any]) -> Answer:
        from callout.core.authoring.several import list_titles

        found = self._found(wish)
        guesses = found.reading.guesses
        rows = [_guess_row(found, at, pictured=True) for at in range(len(guesses))]
        unplaced = found.reading.not_placed
        out = [one.origin.text for one in found.reading.left_out if one not in unplaced]
        lists = list(list_titles(found.reading))
        return {
            "title": found.reading.title,
            "rows": rows,
            "left_out": out,
            "not_placed": [one.origin.text for one in unplaced],
            "lists": lists,
        }

    def _at(self, wish: Mapping[str, Any], found: _Read) -> int:
        return number_in(wish, "at", 0, len(found.reading.guesses) - 1)

    def _decide(self, wish: Mapping[str, Any]) -> Answer:
        """Handle the answer to one question."""
        from callout.app.authoring.sources import known_rivals
        from callout.core.authoring.asking import answer_question
        from callout.core.authoring.guesses import Doubt

        found = self._found(wish)
        at, name = self._at(wish, found), text_in(wish, "doubt")
        doubt = next((d for d in found.reading.guesses[at].doubts if d.value == name), None)
        if not isinstance(doubt, Doubt):
            raise CalloutError(sentences.LIST_GONE, sentences.RELOAD)
        answer = text_in(wish, "answer", LONGEST)
        found.reading = answer_question(found.reading, at, doubt, answer, known_rivals())
        return {"row": _guess_row(found, at, pictured=False)}

    def _reword(self, wish: Mapping[str, Any]) -> Answer:
        """Handle an item reworded by the person."""
        from callout.app.authoring.sources import known_rivals
        from callout.core.authoring.asking import change_guess

        found = self._found(wish)
        at = self._at(wish, found)
        challenge = " ".join(text_in(wish, "challenge", LONGEST).split())
        response = " ".join(text_in(wish, "response", LONGEST).split())
        if not challenge:
            raise CalloutError(sentences.ITEM_NEEDS_CHALLENGE)
        found.reading = change_guess(found.reading, at, challenge, response, known_rivals())
        return {"row": _guess_row(found, at, pictured=False)}

    def _leave_out(self, wish: Mapping[str, Any]) -> Answer:
        from callout.core.authoring.guesses import with_guess

        found = self._found(wish)
        at = self._at(wish, found)
        guess = replace(found.reading.guesses[at], kept=wish.get("out") is not True)
        found.reading = with_guess(found.reading, at, guess)
        return {"row": _guess_row(found, at, pictured=False)}

    def _finish(self, wish: Mapping[str, Any]) -> Answer:
        """Write the list, or each of several, and the flight data that its blanks need."""
        from callout.core.authoring.several import split_reading, told_apart

        found = self._found(wish)
        title = " ".join(text_in(wish, "title", 80).split())
        if not title or not any(guess.kept for guess in found.reading.guesses):
            raise CalloutError(sentences.NO_ITEMS_WRITTEN)
        whole = told_apart(found.reading)
        parts = split_reading(whole) if wish.get("each") is True else (whole,)
        if len(parts) < 2:
            return written_list(self._shelf, wish, whole, title)
        made = [written_list(self._shelf, wish, part, part.title) for part in parts]
        missing = [line for one in made for line in one["missing"]]
        return {"list": made[0]["list"], "missing": missing}


def _kinds(wish: Mapping[str, Any]) -> Answer:
    from callout.app.authoring.sources import KINDS

    return {"kinds": list(KINDS)}


def _guess_row(found: _Read, at: int, *, pictured: bool) -> Answer:
    from callout.core.authoring.asking import as_printed, questions_of

    guess = found.reading.guesses[at]
    item = guess.item
    questions = [
        {"doubt": q.doubt.value, "text": q.text, "choices": list(q.choices), "usual": q.usual}
        for q in questions_of(guess)
    ]
    return {
        "at": at,
        "challenge": item.challenge,
        "response": as_printed(guess),
        "section": guess.section,
        "stood": guess.origin.text,
        "kept": guess.kept,
        "critical": item.critical,
        "questions": questions if guess.kept else [],
        **(_pictured(found.source, guess) if pictured else {}),
    }


def _pictured(source: Source, guess: Guess) -> dict[str, Any]:
    """Return the picture of where a guess stands, and whether it is one of the whole page."""
    from callout.app.authoring.guess_page import guess_picture

    data = guess_picture(source, guess)
    url = f"data:image/jpeg;base64,{base64.b64encode(data).decode('ascii')}" if data else ""
    return {"picture": url, "whole": guess.page_in_doubt}
