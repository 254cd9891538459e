"""How an overlay describes added sections, and added or moved flow stops."""

from __future__ import annotations

from typing import Any, Final

from callout.core.formats.compound_shapes import Key, RecordShape
from callout.core.formats.overlay import AddAction, AddPanel, AddSection, Among, MovePanel
from callout.core.formats.schema import ACTION, PANEL, SECTION
from callout.core.model.checklist import Origin
from callout.core.model.located import Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Flag, Text
from callout.core.sentences import overlays as sentences

_NAME: Final = Text(80)
_PANEL_NAME: Final = Key(Text(60), "the panel of the flow", required=True)


def _place_keys(noun: str) -> dict[str, Key]:
    return {
        "before": Key(_NAME, f"the {noun} it goes before"),
        "after": Key(_NAME, f"the {noun} it goes after"),
        "first": Key(Flag(), "at the top instead of the end"),
    }


def _read_among(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    given = [key for key in ("before", "after", "first") if values.get(key)]
    if len(given) > 1:
        hint = sentences.SEVERAL_PLACES_HINT
        report.add(node.line, path, "say in one way where it goes.", hint)
        return BAD
    return Among(**{key: values[key] for key in given})


def _add_section(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place, origin = _read_among(values, node, path, report), Origin(report.file, node.line)
    return BAD if place is BAD else AddSection(values["add_section"], place, origin)


def _add_panel(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place, origin = _read_among(values, node, path, report), Origin(report.file, node.line)
    return BAD if place is BAD else AddPanel(values["add_panel"], place, origin)


def _add_action(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place, origin = _read_among(values, node, path, report), Origin(report.file, node.line)
    return BAD if place is BAD else AddAction(values["add_action"], values["panel"], place, origin)


def _move_panel(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    place = _read_among(values, node, path, report)
    if place == Among():
        hint = sentences.PANEL_PLACE_HINT
        report.add(node.line, path, "say where the panel goes.", hint)
        return BAD
    origin = Origin(report.file, node.line)
    return BAD if place is BAD else MovePanel(values["move_panel"], place, origin)


PART_KINDS: Final = {
    "add_section": RecordShape(
        "an added section",
        {"add_section": Key(SECTION, "the section", required=True), **_place_keys("section")},
        _add_section,
    ),
    "add_panel": RecordShape(
        "an added panel",
        {"add_panel": Key(PANEL, "the stop of the flow", required=True), **_place_keys("panel")},
        _add_panel,
    ),
    "add_action": RecordShape(
        "an added flow action",
        {
            "add_action": Key(ACTION, "what is done", required=True),
            "panel": _PANEL_NAME,
            **_place_keys("control"),
        },
        _add_action,
    ),
    "move_panel": RecordShape(
        "a moved panel", {"move_panel": _PANEL_NAME, **_place_keys("panel")}, _move_panel
    ),
}
