"""Words of replies that the selected recogniser can never report."""

from __future__ import annotations

from collections.abc import Iterator

from callout.app.list_files.checking import ItemCheck
from callout.app.listening.engines import open_recogniser
from callout.app.shared.tables import default_tables
from callout.core.language.spoken import spoken_forms
from callout.core.lint.finding import ListFinding, Severity
from callout.core.model.checklist import Checklist, Item
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.planning.resolve import answer_for
from callout.core.sentences import sound_devices as sentences
from callout.errors import ChecklistInvalid


def unknown_words_check(engine: str = "auto") -> ItemCheck:
    """Return a check of replies against the vocabulary of ``engine``; raise CalloutError."""
    recogniser = open_recogniser(engine)

    def check(checklist: Checklist, item: Item, flight: Flight | None) -> Iterator[ListFinding]:
        words = tuple(dict.fromkeys(_reply_words(item, flight or EMPTY_FLIGHT)))
        unknown = recogniser.unknown_words(words)
        if unknown:
            listed = ", ".join(f'"{word}"' for word in unknown)
            said = f"the {recogniser.name} recogniser cannot report {listed}."
            hint = sentences.UNKNOWN_WORD_HINT
            file = item.origin.file
            yield ListFinding(
                "unknown-words", Severity.WARNING, file, item.line, said, hint, item_id=item.id
            )

    return check


def _reply_words(item: Item, flight: Flight) -> Iterator[str]:
    tables = default_tables()
    for response in item.responses:
        try:
            answer = answer_for(response, item, flight, tables)
        except ChecklistInvalid:
            continue  # reported by the check of values
        for form in spoken_forms(answer, tables, 1):
            yield from form.split()
