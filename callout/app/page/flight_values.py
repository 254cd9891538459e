"""The values of a flight as a form: what the chosen list needs, one field each.

They are kept in the flight file beside the lists, where a terminal session finds them too. A value
that was changed elsewhere since it was shown is not written over unasked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callout.app.page.request_fields import LONGEST, Answer, Handler, text_in
from callout.app.page.shelf import Shelf, ShelfGroup
from callout.app.shared.checklist_files import FLIGHT_FILE, read_text
from callout.app.shared.flight_editing import Change, Part, changed_text
from callout.app.shared.tables import default_tables
from callout.core.lint.flight_rules import lint_flight
from callout.core.model.flight import EMPTY_FLIGHT, Flight, FlightQuantity, SetUpFact
from callout.core.planning.needed_values import Needed, needed_values
from callout.core.planning.quantities import computed_amount
from callout.core.planning.resolve import with_inputs
from callout.core.planning.typed_value import example_of, possible_span, typed_text, typed_value
from callout.core.sentences import flight as say
from callout.core.sentences import page as sentences
from callout.errors import CalloutError, ChecklistInvalid
from callout.outlet import save_text

_STATES = {True: "yes", False: "no", None: ""}
MOST = 200


@dataclass(frozen=True, slots=True)
class _Data:
    """What the form is about."""

    group: ShelfGroup
    path: Path
    text: str
    flight: Flight
    needed: Needed


class FlightValues:
    """Handles the form."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {"values": self._values, "keep-values": self._keep}

    def _values(self, wish: Mapping[str, Any]) -> Answer:
        data = self._data(wish)
        flight, needed = data.flight, data.needed
        return {
            "title": data.group.title,
            "group": data.group.key,
            "lists": [{"key": o.key, "title": o.title} for o in data.group.lists if o.checklist],
            "text": data.group.data.key if data.group.data else "",
            "numbers": [_number_row(name, flight) for name in needed.given],
            "words": [_word_row(name, flight) for name in needed.words],
            "facts": [_fact_row(name, flight) for name in needed.facts],
            "worked_out": [_worked_out_row(name, flight) for name in needed.worked_out],
            "doubts": _doubts(flight, needed),
        }

    def _keep(self, wish: Mapping[str, Any]) -> Answer:
        """Write what changed, all of it or nothing; faults: what is wrong, by field."""
        data = self._data(wish)
        given = wish.get("given")
        if not isinstance(given, list) or len(given) > MOST:
            raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)
        faults: dict[str, str] = {}
        present: dict[str, str] = {}
        changes: list[Change] = []
        for one in given:
            part, name, text, was = _field_in(one, data.needed)
            field = f"{part.value} {name}"
            now = _present(part, name, data.flight)
            if now == text:
                continue
            if now != was:
                faults[field] = f"{say.CHANGED_MEANWHILE} {say.now_is(now)}"
                present[field] = now
                continue
            try:
                changes.append(Change(part, name, _read(part, name, text, data.flight)))
            except ChecklistInvalid as error:
                faults[field] = " ".join(filter(None, (error.message, error.hint)))
        if not faults and changes:
            _write(data, changes)
        return {"faults": faults, "present": present, "saved": 0 if faults else len(changes)}

    def _data(self, wish: Mapping[str, Any]) -> _Data:
        group = self._shelf.find_group(text_in(wish, "group"))
        if not group.own:
            raise CalloutError(sentences.SHIPPED_LIST, sentences.COPY_IT)
        if group.data and group.flight is None:
            raise CalloutError(say.FLIGHT_UNREADABLE, say.MEND_AS_TEXT)
        flight = group.flight or EMPTY_FLIGHT
        chosen = text_in(wish, "list") if wish.get("list") else ""
        lists = [o.checklist for o in group.lists if o.checklist and chosen in ("", o.key)]
        path = group.data.path if group.data else group.folder / FLIGHT_FILE
        text = read_text(path) if path.is_file() else ""
        return _Data(group, path, text, flight, needed_values(lists, flight))


def _field_in(one: Any, needed: Needed) -> tuple[Part, str, str, str]:
    """Return a field of the form without trusting it: only what is needed can be changed."""
    wish = one if isinstance(one, Mapping) else {}
    name, part = text_in(wish, "name", 120), text_in(wish, "part", 20)
    fields = {
        Part.NUMBERS.value: (Part.NUMBERS, needed.given),
        Part.WORDS.value: (Part.WORDS, needed.words),
        Part.FACTS.value: (Part.FACTS, needed.facts),
    }
    found = fields.get(part)
    if found is None or name not in found[1]:
        raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)
    text, was = (" ".join(text_in(wish, key, LONGEST).split()) for key in ("text", "was"))
    return found[0], name, text, was


def _present(part: Part, name: str, flight: Flight) -> str:
    if part is Part.NUMBERS:
        return typed_text(_about(name, flight))
    return flight.words.get(name, "") if part is Part.WORDS else _STATES[flight.facts.get(name)]


def _read(part: Part, name: str, text: str, flight: Flight) -> Any:
    if part is Part.NUMBERS:
        return typed_value(text, _about(name, flight), default_tables()) if text else None
    if part is Part.WORDS:
        if not text or len(text) > 80:
            raise ChecklistInvalid(say.NEEDS_A_WORD)
        return text
    if text not in _STATES.values():
        raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)
    return {"yes": True, "no": False}.get(text)


def _write(data: _Data, changes: list[Change]) -> None:
    title = data.group.title
    made = changed_text(data.text, str(data.path), title, changes)
    if made is None:
        raise CalloutError(say.AS_TEXT_INSTEAD)
    save_text(data.path, made, sentences.FLIGHT_DATA, folders=True, as_it_is=True)


def _about(name: str, flight: Flight) -> FlightQuantity:
    return flight.quantities.get(name, FlightQuantity(name))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _number_row(name: str, flight: Flight) -> Answer:
    about = _about(name, flight)
    span = possible_span(about)
    unit = about.unit or ""
    told = [example_of(about)]
    if span and span[0] > 0:
        told = [say.between(span[0], span[1], unit)]
    if about.source:
        told.append(say.comes_from(about.source))
    if about.tolerance:
        told.append(say.may_differ(f"{about.tolerance:f} {unit}".strip()))
    label = _capital(about.spoken_name)
    return {
        "name": name,
        "label": label,
        "unit": unit,
        "value": typed_text(about),
        "help": " ".join(told),
    }


def _word_row(name: str, flight: Flight) -> Answer:
    return {"name": name, "label": _capital(name.replace("_", " ")), "value": flight.words[name]}


def _fact_row(name: str, flight: Flight) -> Answer:
    fact = flight.set_up.get(name, SetUpFact(name))
    label = fact.question or f"{_capital(name.replace('_', ' '))}?"
    return {"name": name, "label": label, "value": _STATES[fact.state]}


def _worked_out_row(name: str, flight: Flight) -> Answer:
    about = _about(name, flight)
    inputs = [n for n in with_inputs((name,), flight) if n != name]
    names = ", ".join(_about(n, flight).spoken_name for n in inputs)
    try:
        number, unit = computed_amount(name, flight, default_tables())
        value = f"{round(number, 2).normalize():f} {unit or ''}".strip()
    except ChecklistInvalid:
        value = ""
    told = say.worked_out_from(names)
    return {"label": _capital(about.spoken_name), "value": value, "help": told}


def _doubts(flight: Flight, needed: Needed) -> list[str]:
    """Return what the numbers contradict, each with its reason."""
    found = lint_flight(flight, default_tables()) if needed.anything else []
    demands = {f'"{d.text}" does not hold.': d.because for d in flight.demands if d.because}
    said = [finding.message for finding in found]
    for at, text in enumerate(said):
        because = next((why for start, why in demands.items() if text.startswith(start)), "")
        said[at] = because or _capital(text)
    return said
