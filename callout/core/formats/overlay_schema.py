"""The format of an overlay file: reads a located document into an Overlay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, RecordShape
from callout.core.formats.overlay import Accept, Add, Move, Overlay, Place, Reword, Tighten
from callout.core.formats.overlay_shapes import PART_KINDS
from callout.core.formats.schema import VERSION, as_document
from callout.core.formats.schema_items import (
    IDENTIFIER,
    ITEM,
    ITEM_STRICT_KEYS,
    LINE,
    NOTE,
    PROOF,
    TEMPLATE,
    one_or_several,
)
from callout.core.model.checklist import Origin, Role
from callout.core.model.located import Node, Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Amount, ChoiceShape, Flag, Schema, Text, did_you_mean
from callout.core.sentences import overlays as sentences

OVERLAY_REMOVES: Final = "overlay-removes"
OVERLAY_SCHEMA_ID: Final = "urn:callout:overlay:1"

PLACE_KEYS: Final = {
    "before": Key(IDENTIFIER, "the item it goes before"),
    "after": Key(IDENTIFIER, "the item it goes after"),
    "section": Key(Text(80), "the section it goes into"),
    "first": Key(Flag(), "with section: at its top instead of its end"),
}
ID_KEY: Final = Key(IDENTIFIER, "the id of the item", required=True)


def _read_place(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    given = [key for key in ("before", "after", "section") if key in values]
    if len(given) != 1:
        hint = sentences.ADDED_PLACE_HINT
        report.add(node.line, path, "say in one way where the item goes.", hint)
        return BAD
    return Place(**{given[0]: values[given[0]]}, first=values.get("first", False))


def _read_add(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place = _read_place(values, node, path, report)
    return BAD if place is BAD else Add(values["add"], place, Origin(report.file, node.line))


def _read_move(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place = _read_place(values, node, path, report)
    return BAD if place is BAD else Move(values["move"], place, Origin(report.file, node.line))


def _read_reword(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Reword(
        values["reword"],
        challenge=values.get("challenge"),
        spoken=values.get("say"),
        responses=values.get("response"),
        cautions=values.get("caution", ()),
        notes=values.get("note", ()),
        origin=Origin(report.file, node.line),
    )


def _read_tighten(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    for key in ("critical", "actual_status", "always"):
        if values.get(key) is False:
            hint = sentences.delete_or_write_yes(key)
            report.add(node.line, path, f"an overlay cannot loosen {key}.", hint, OVERLAY_REMOVES)
    return Tighten(
        values["tighten"],
        critical=values.get("critical", False),
        actual_status=values.get("actual_status", False),
        tolerance=values.get("tolerance"),
        only=values.get("only"),
        wrong=values.get("wrong", ()),
        responder=values.get("who"),
        always=values.get("always", False),
        proof=values.get("proof"),
        origin=Origin(report.file, node.line),
    )


def _read_accept(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Accept(
        values["accept"],
        values["also"],
        by=values.get("by", ""),
        date=values.get("date", ""),
        confirmed=values.get("confirmed", False),
        origin=Origin(report.file, node.line),
    )


KINDS: Final = {
    "add": RecordShape(
        "an added item", {"add": Key(ITEM, "the item", required=True), **PLACE_KEYS}, _read_add
    ),
    "move": RecordShape("a moved item", {"move": ID_KEY, **PLACE_KEYS}, _read_move),
    "reword": RecordShape(
        "a reworded item",
        {
            "reword": ID_KEY,
            "challenge": Key(LINE, "the words to show"),
            "say": Key(LINE, "the words to speak, when they differ"),
            "response": Key(
                one_or_several(TEMPLATE, "responses"), "other words around the same values"
            ),
            "caution": Key(one_or_several(NOTE, "cautions"), "added to the item's own"),
            "note": Key(one_or_several(NOTE, "notes"), "added to the item's own"),
        },
        _read_reword,
    ),
    "tighten": RecordShape(
        "a tightened item",
        {
            "tighten": ID_KEY,
            **ITEM_STRICT_KEYS,
            "tolerance": Key(Amount(), "a smaller accepted difference"),
            "only": Key(one_or_several(TEMPLATE, "responses"), "the accepted replies that remain"),
            "who": Key(ChoiceShape(Role), "who answers, where the base list leaves it open"),
            "proof": Key(PROOF, "the state that proves it, where the base list names none"),
            "always": Key(Flag(), "yes: due at every run, whatever the set-up"),
        },
        _read_tighten,
    ),
    "accept": RecordShape(
        "an accepted wording",
        {
            "accept": ID_KEY,
            "also": Key(TEMPLATE, "the wording that will do as well", required=True),
            "by": Key(LINE, "who let it in"),
            "date": Key(Text(10), "the day on which"),
            "confirmed": Key(Flag(), "yes: said twice, as a critical item needs"),
        },
        _read_accept,
    ),
    **PART_KINDS,
}


@dataclass(frozen=True, slots=True)
class OneOf:
    """A table whose kind is shown by one of its keys."""

    kinds: Mapping[str, RecordShape]

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        """Read ``node`` as the record that its distinguishing key names."""
        keys = [key.text for key, _ in node.entries] if isinstance(node, Table) else []
        found = [kind for kind in self.kinds if kind in keys]
        removal = next((key for key in keys if key.split("_")[0] in ("remove", "delete")), "")
        if isinstance(node, Table) and removal:
            return self._removal(removal, node, path, report)
        if len(found) != 1:
            hint = sentences.overlay_key_hint(", ".join(self.kinds))
            close = next((did_you_mean(key, self.kinds) for key in keys), "")
            report.add(node.line, path, "this is not a change an overlay can make.", close or hint)
            return BAD
        return self.kinds[found[0]].read(node, path, report)

    def _removal(self, key: str, node: Table, path: str, report: ProblemReport) -> Any:
        removed = getattr(node.get(key), "text", "")
        what = key.partition("_")[2] or "item"
        hint = sentences.removal_hint(what)
        report.add(
            node.line,
            path,
            f'an overlay cannot remove the {what} "{removed}".',
            hint,
            OVERLAY_REMOVES,
        )
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        """Return a schema that accepts exactly one of the kinds."""
        return {"oneOf": [record.schema(defs) for record in self.kinds.values()]}


def _read_overlay(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Overlay(
        title=values["title"],
        base=values["overlay"],
        changes=values["changes"],
        completion_call=values.get("complete", ""),
        triggers=values.get("trigger", ()),
        cautions=values.get("caution", ()),
        notes=values.get("note", ()),
        origin=Origin(report.file, node.line),
    )


OVERLAY: Final = RecordShape(
    "an overlay",
    {
        "callout": Key(VERSION, "the version of the format", required=True),
        "overlay": Key(IDENTIFIER, "the id of the list it changes", required=True),
        "title": Key(Text(80), "whose overlay it is", required=True),
        "changes": Key(ListOf(OneOf(KINDS), "changes"), "the changes, in order", required=True),
        "complete": Key(LINE, "another call that completes the list"),
        "trigger": Key(one_or_several(LINE, "calls"), "more ways to call for the list"),
        "caution": Key(one_or_several(NOTE, "cautions"), "added to the list's own"),
        "note": Key(one_or_several(NOTE, "notes"), "added to the list's own"),
    },
    _read_overlay,
)


def overlay_from(document: Node, file: str) -> Overlay:
    """Return the overlay in ``document``; raise FileProblems naming ``file`` and lines."""
    report = ProblemReport(file)
    overlay = OVERLAY.read(document, "", report)
    report.check()
    assert isinstance(overlay, Overlay)
    return overlay


def overlay_schema() -> Schema:
    """Return the JSON Schema (2020-12) of an overlay file."""
    return as_document(OVERLAY, OVERLAY_SCHEMA_ID, "A callout overlay")
