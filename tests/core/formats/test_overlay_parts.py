"""Overlays on sections and flows: they add and move, and lose nothing."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.formats.overlay_merge import merge_overlay
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import ChangeKind, Checklist, Role
from callout.core.model.located import from_plain
from callout.core.model.problems import FileProblems

BASE = {
    "callout": 1,
    "id": "after-landing",
    "title": "After landing",
    "phase": "after-landing",
    "method": "flow-then-verify",
    "complete": "after landing checklist complete",
    "who": "pilot-monitoring",
    "flow": [
        {"panel": "Pedestal", "do": [{"control": "Flaps", "position": "up"}]},
        {
            "panel": "Switches",
            "do": [
                {"control": "Pumps", "position": "off"},
                {"control": "Heat", "position": "off", "when": "icing"},
            ],
        },
    ],
    "sections": [
        {"title": "Wing", "items": [{"id": "flaps", "challenge": "Flaps", "response": "up"}]},
        {"title": "Power", "items": [{"id": "pumps", "challenge": "Pumps", "response": "off"}]},
    ],
}
STONES = {"id": "stones", "challenge": "Stones", "response": "clear"}
GRAVEL = {"title": "Gravel", "items": [STONES]}
WALL = {"panel": "Left wall", "do": [{"control": "Window", "position": "closed"}]}
STROBES = {"control": "Strobes", "position": "off"}


def base(**more: Any) -> Checklist:
    return checklist_from(from_plain({**BASE, **more}), "base.yaml")


def merged(*changes: dict[str, Any], **more: Any) -> Checklist:
    plain = {"callout": 1, "overlay": "after-landing", "title": "Ours", "changes": list(changes)}
    return merge_overlay(base(**more), overlay_from(from_plain(plain, line=7), "ours.yaml"))


def titles(checklist: Checklist) -> list[str]:
    return [section.title for section in checklist.sections]


def panels(checklist: Checklist) -> list[str]:
    return [panel.panel for panel in checklist.flow]


def controls(checklist: Checklist) -> set[tuple[Any, ...]]:
    flow = checklist.flow
    return {(p.panel, a.control, a.position, a.when) for p in flow for a in p.actions}


@pytest.mark.parametrize(
    ("place", "order"),
    [
        ({}, ["Wing", "Power", "Gravel"]),
        ({"first": True}, ["Gravel", "Wing", "Power"]),
        ({"before": "Power"}, ["Wing", "Gravel", "Power"]),
        ({"after": "wing"}, ["Wing", "Gravel", "Power"]),
    ],
)
def test_a_section_is_added(place: dict[str, Any], order: list[str]) -> None:
    checklist = merged({"add_section": GRAVEL, **place})
    assert titles(checklist) == order
    item = checklist.item("stones")
    assert item.responder is Role.PILOT_MONITORING
    assert [c.kind for c in item.changes] == [ChangeKind.ADDED]
    assert str(item.origin) == "ours.yaml:7"


def test_an_added_section_takes_its_panel_and_condition_to_its_items() -> None:
    checklist = merged({"add_section": {**GRAVEL, "panel": "Outside", "when": "gravel"}})
    assert checklist.item("stones").panel == "Outside"
    assert checklist.item("stones").when is not None


def test_later_changes_reach_what_was_added() -> None:
    checklist = merged(
        {"add_section": GRAVEL},
        {"tighten": "stones", "critical": True},
        {"add": {"id": "mud", "challenge": "Mud", "response": "none seen"}, "section": "Gravel"},
        {"add_panel": WALL},
        {"add_action": STROBES, "panel": "Left wall"},
    )
    assert checklist.item("stones").critical
    assert [item.id for item in checklist.items][-2:] == ["stones", "mud"]
    assert [action.control for action in checklist.flow[-1].actions] == ["Window", "Strobes"]


@pytest.mark.parametrize(
    ("place", "order"),
    [
        ({}, ["Pedestal", "Switches", "Left wall"]),
        ({"first": True}, ["Left wall", "Pedestal", "Switches"]),
        ({"after": "Pedestal"}, ["Pedestal", "Left wall", "Switches"]),
    ],
)
def test_a_panel_is_added(place: dict[str, Any], order: list[str]) -> None:
    checklist = merged({"add_panel": WALL, **place})
    assert panels(checklist) == order
    panel = checklist.flow[order.index("Left wall")]
    assert [(c.kind, str(c.origin)) for c in panel.changes] == [(ChangeKind.ADDED, "ours.yaml:7")]


def test_a_flow_begins_where_there_was_none() -> None:
    plain = {key: value for key, value in BASE.items() if key != "flow"}
    checklist = checklist_from(from_plain(plain), "base.yaml")
    overlay = {"callout": 1, "overlay": "after-landing", "title": "Ours"}
    document = from_plain({**overlay, "changes": [{"add_panel": WALL}]})
    assert panels(merge_overlay(checklist, overlay_from(document, "ours.yaml"))) == ["Left wall"]


def test_an_action_is_added_and_a_panel_moved() -> None:
    checklist = merged(
        {"add_action": STROBES, "panel": "switches", "before": "pumps"},
        {"move_panel": "Switches", "before": "Pedestal"},
    )
    assert panels(checklist) == ["Switches", "Pedestal"]
    assert [a.control for a in checklist.flow[0].actions] == ["Strobes", "Pumps", "Heat"]
    assert [c.kind for c in checklist.flow[0].changes] == [ChangeKind.MOVED]
    assert [c.kind for c in checklist.flow[0].actions[0].changes] == [ChangeKind.ADDED]
    assert checklist.flow[0].origin.file == "base.yaml"


def test_another_case_of_the_same_control_needs_a_condition_on_both() -> None:
    heat = {"control": "Heat", "position": "on", "when": "not icing"}
    checklist = merged({"add_action": heat, "panel": "Switches"})
    assert [a.position for a in checklist.flow[1].actions] == ["off", "off", "on"]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"add_section": {**GRAVEL, "title": "wing"}}, 'two sections "wing"'),
        ({"add_section": GRAVEL, "after": "Wings"}, 'no section "Wings"'),
        ({"add_section": GRAVEL, "after": "Wing", "first": True}, "in one way where"),
        ({"add_section": {"title": "Gravel", "items": [{**STONES, "id": "pumps"}]}}, "already"),
        ({"add_section": {"title": "Gravel"}}, 'has no "items"'),
        ({"add_panel": {**WALL, "panel": "pedestal"}}, "already stops at"),
        ({"add_panel": WALL, "before": "Roof"}, 'no panel "Roof"'),
        ({"add_action": STROBES}, 'has no "panel"'),
        ({"add_action": STROBES, "panel": "Roof"}, 'no panel "Roof"'),
        ({"add_action": {"control": "pumps", "position": "on"}, "panel": "Switches"}, "goes to"),
        ({"add_action": {"control": "heat", "position": "on"}, "panel": "Switches"}, "goes to"),
        ({"move_panel": "Switches"}, "say where the panel goes"),
        ({"move_panel": "Switches", "after": "Switches"}, "beside itself"),
        ({"remove_panel": "Switches"}, 'cannot remove the panel "Switches"'),
        ({"remove_section": "Wing"}, 'cannot remove the section "Wing"'),
        ({"delete": "flaps"}, 'cannot remove the item "flaps"'),
    ],
)
def test_what_is_refused(change: dict[str, Any], says: str) -> None:
    with pytest.raises(FileProblems) as caught:
        merged(change)
    assert says in caught.value.message
    assert caught.value.message.startswith("ours.yaml, line 7: ")
    assert caught.value.hint


def test_a_method_without_a_flow_gets_none() -> None:
    plain = {key: value for key, value in BASE.items() if key != "flow"}
    document = from_plain({**plain, "method": "challenge-and-response"})
    checklist = checklist_from(document, "base.yaml")
    change = {"callout": 1, "overlay": "after-landing", "title": "Ours"}
    overlay = overlay_from(from_plain({**change, "changes": [{"add_panel": WALL}]}), "o.yaml")
    with pytest.raises(FileProblems, match="which has no flow"):
        merge_overlay(checklist, overlay)


NAMES = st.sampled_from(["Pedestal", "Switches", "Left wall", "Nowhere"])
CONTROLS = st.sampled_from(["Flaps", "Pumps", "Heat", "Strobes"])
PLACES = st.one_of(
    st.just({}),
    st.just({"first": True}),
    st.fixed_dictionaries({"after": NAMES}),
    st.fixed_dictionaries({"before": NAMES}),
)
CHANGES = st.one_of(
    st.builds(lambda name, place: {"move_panel": name, **place}, NAMES, PLACES),
    st.builds(lambda place: {"add_panel": WALL, **place}, PLACES),
    st.builds(
        lambda control, position, name: {
            "add_action": {"control": control, "position": position},
            "panel": name,
        },
        CONTROLS,
        st.sampled_from(["off", "on"]),
        NAMES,
    ),
    st.just({"add_section": GRAVEL}),
)


@settings(deadline=None)
@given(st.lists(CHANGES, min_size=1, max_size=6))
def test_whatever_an_overlay_says_no_control_is_lost_or_sent_elsewhere(
    changes: list[dict[str, Any]],
) -> None:
    before = base()
    try:
        after = merged(*changes)
    except FileProblems:
        return
    kept = {(p.panel, a.control, a.position, a.when) for p in after.flow for a in p.actions}
    assert {
        (p.panel, a.control, a.position, a.when) for p in before.flow for a in p.actions
    } <= kept
    without = [(panel, control) for panel, control, _, when in kept if when is None]
    assert len(without) == len(set(without)), "no control goes to two positions"
    assert {item.id for item in before.items} <= {item.id for item in after.items}
