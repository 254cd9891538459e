"""The format of a checklist file: reads a located document into a Checklist."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, MapOf, RecordShape
from callout.core.formats.schema_items import (
    ALLOWED,
    CONDITION,
    IDENTIFIER,
    ITEM,
    LINE,
    NOTE,
    PROOF,
    one_or_several,
)
from callout.core.model.checklist import (
    FORMAT_VERSION,
    Checklist,
    FlowAction,
    FlowPanel,
    Item,
    Method,
    Origin,
    Phase,
    Role,
    Section,
)
from callout.core.model.conditions import both_conditions
from callout.core.model.list_routes import check_routes
from callout.core.model.located import Listing, Node, Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import ChoiceShape, Flag, Schema, Text, Version
from callout.core.planning.consistency import check_list
from callout.core.sentences import list_format as sentences

SCHEMA_ID: Final = "urn:callout:checklist:1"
VERSION: Final = Version(FORMAT_VERSION)
ITEMS: Final = ListOf(ITEM, "items")


def _read_section(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    panel, when = values.get("panel", ""), values.get("when")
    items = tuple(
        replace(item, panel=item.panel or panel, when=both_conditions(when, item.when))
        for item in values["items"]
    )
    section = Section(values.get("title", ""), items, Origin(report.file, node.line))
    return replace(section, id=values.get("id", ""), then=values.get("then", ""))


SECTION: Final = RecordShape(
    "a section",
    {
        "title": Key(Text(80), "what the items have in common", required=True),
        "id": Key(IDENTIFIER, "what leads to it say"),
        "then": Key(IDENTIFIER, "the section or end after it, when not the next section"),
        "items": Key(ITEMS, "the lines of the section", required=True),
        "panel": Key(Text(60), "where to look, for items that do not say"),
        "when": Key(CONDITION, "the set-up in which the section applies"),
    },
    _read_section,
)


def _read_action(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    origin = Origin(report.file, node.line)
    rest, when = values.get("rest", ""), values.get("when")
    why = values.get("why", "")
    proof = values.get("proof")
    return FlowAction(values["control"], values["position"], rest, when, why, proof, origin)


ACTION: Final = RecordShape(
    "a flow action",
    {
        "control": Key(Text(80), "what is touched", required=True),
        "position": Key(Text(80), "where it goes", required=True),
        "rest": Key(Text(80), "the position it normally rests in"),
        "when": Key(CONDITION, "the set-up in which it applies"),
        "why": Key(NOTE, "why it goes there"),
        "proof": Key(PROOF, "the state of the aircraft that shows it there"),
    },
    _read_action,
)


def _read_panel(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return FlowPanel(values["panel"], values["do"], Origin(report.file, node.line))


PANEL: Final = RecordShape(
    "a panel",
    {
        "panel": Key(Text(60), "where to look", required=True),
        "do": Key(ListOf(ACTION, "actions"), "what is done there, in order", required=True),
    },
    _read_panel,
)

LIST_KEYS: Final = {
    "callout": Key(VERSION, f"the version of the format, {FORMAT_VERSION}", required=True),
    "id": Key(IDENTIFIER, "a short name that never changes", required=True),
    "title": Key(Text(80), "the name of the list", required=True),
    "phase": Key(ChoiceShape(Phase), "the phase of flight", required=True),
    "method": Key(ChoiceShape(Method), "how it is worked", required=True),
    "complete": Key(LINE, "the call that completes it", required=True),
    "trigger": Key(one_or_several(LINE, "calls"), "what a person says to call for it"),
    "due": Key(
        one_or_several(LINE, "calls"), "moments of flight at which it falls due, as called out"
    ),
    "follows": Key(one_or_several(IDENTIFIER, "list ids"), "lists that come before it"),
    "on_call": Key(Flag(), "yes: worked whenever it is called for, never waited for"),
    "who": Key(ChoiceShape(Role), "who answers, for items that do not say"),
    "when": Key(CONDITION, "the set-up in which the list applies"),
    "caution": Key(one_or_several(NOTE, "cautions"), "what can hurt here"),
    "note": Key(one_or_several(NOTE, "notes"), "anything else worth knowing"),
    "contrasts": Key(
        ListOf(ListOf(Text(40), "words", least=2), "sets of words"),
        "sets of words of which one is never another",
    ),
    "synonyms": Key(
        MapOf(Text(40), Text(40), "pairs such as `lamps: lights`"),
        "words as said, with the word as listed",
    ),
    "allow": Key(ALLOWED, "rules of the check that it may break, each with the reason"),
    "ends": Key(
        MapOf(LINE, IDENTIFIER, "ends with their calls"), "calls of the ways that end apart"
    ),
    "flow": Key(ListOf(PANEL, "panels"), "the walk through the panels, from memory"),
    "sections": Key(ListOf(SECTION, "sections"), "groups of items"),
    "items": Key(ITEMS, "the lines, when there are no sections"),
}


def _read_checklist(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    _check_parts(values, node, report)
    origin = Origin(report.file, node.line)
    sections = values.get("sections", ())
    if "items" in values:
        sections = (Section("", values["items"], origin),)
    role = values.get("who", Role.EITHER)
    checklist = Checklist(
        id=values["id"],
        title=values["title"],
        phase=values["phase"],
        method=values["method"],
        completion_call=values["complete"],
        sections=_with_role(sections, node, role),
        triggers=values.get("trigger", (f"{values['title']} checklist",)),
        due=values.get("due", ()),
        follows=values.get("follows", ()),
        responder=role,
        on_call=values.get("on_call", False),
        when=values.get("when"),
        flow=values.get("flow", ()),
        cautions=values.get("caution", ()),
        notes=values.get("note", ()),
        ends=values.get("ends", {}),
        contrasts=values.get("contrasts", ()),
        synonyms=values.get("synonyms", {}),
        allowed=values.get("allow", {}),
        origin=origin,
    )
    check_list(checklist.sections, report)
    check_routes(checklist, report)
    return checklist


def _check_parts(values: dict[str, Any], node: Table, report: ProblemReport) -> None:
    if "sections" in values and "items" in values:
        hint = sentences.ITEMS_AND_SECTIONS_HINT
        report.add(node.line, "", "the file has both sections and items.", hint)
    if not {"sections", "items", "flow"} & set(values):
        hint = sentences.NO_ITEMS_HINT
        report.add(node.line, "", "the list has no items.", hint)
    if "flow" in values and values["method"] is not Method.FLOW_THEN_VERIFY:
        hint = sentences.flow_method_hint(Method.FLOW_THEN_VERIFY.value)
        report.add(node.line, "flow", "a flow does not fit this method.", hint)


def _with_role(sections: tuple[Section, ...], node: Table, role: Role) -> tuple[Section, ...]:
    """Apply the list's role to the items that do not say who answers."""
    listed = node.get("sections")
    tables = listed.entries if isinstance(listed, Listing) else (node,)
    return tuple(
        replace(section, items=_items_with_role(section.items, table, role))
        for section, table in zip(sections, tables, strict=False)
    )


def _items_with_role(items: tuple[Item, ...], table: Node, role: Role) -> tuple[Item, ...]:
    listed = table.get("items") if isinstance(table, Table) else None
    nodes = listed.entries if isinstance(listed, Listing) else ()
    return tuple(
        item if isinstance(entry, Table) and entry.get("who") else replace(item, responder=role)
        for item, entry in zip(items, nodes, strict=True)
    )


CHECKLIST: Final = RecordShape("a checklist", LIST_KEYS, _read_checklist)


def checklist_from(document: Node, file: str) -> Checklist:
    """Return the checklist in ``document``; raise FileProblems naming ``file`` and lines."""
    report = ProblemReport(file)
    checklist = CHECKLIST.read(document, "", report)
    report.check()
    assert isinstance(checklist, Checklist)
    return checklist


def checklist_schema() -> Schema:
    """Return the JSON Schema (2020-12) of a checklist file."""
    return as_document(CHECKLIST, SCHEMA_ID, "A callout checklist")


def as_document(record: RecordShape, schema_id: str, title: str) -> Schema:
    """Return the schema of ``record`` as a standalone document."""
    defs: dict[str, Schema] = {}
    top = record.schema(defs)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": schema_id,
        "title": title,
        **top,
        "$defs": defs,
    }
