"""Operator overlays: nothing is lost, nothing is loosened, every line knows its origin."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.formats.overlay import Overlay
from callout.core.formats.overlay_merge import merge_overlay
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import ChangeKind, Checklist, Role
from callout.core.model.located import from_plain
from callout.core.model.problems import FileProblems

BASE = {
    "callout": 1,
    "id": "before-start",
    "title": "Before start",
    "phase": "before-start",
    "method": "challenge-and-response",
    "complete": "before start checklist complete",
    "who": "left-seat",
    "sections": [
        {
            "title": "Cabin",
            "items": [
                {"id": "doors", "challenge": "Doors", "response": ["closed", "shut"]},
                {
                    "id": "briefing",
                    "challenge": "Briefing",
                    "response": "given",
                    "when": "passengers",
                    "once": "day",
                    "who": "either",
                },
            ],
        },
        {
            "title": "Power",
            "items": [
                {"id": "beacon", "challenge": "Beacon", "response": "on", "wrong": "off"},
                {
                    "id": "qnh",
                    "challenge": "Altimeters",
                    "response": {"value": "qnh", "tolerance": 1, "or_units": "inHg"},
                    "critical": True,
                },
                {
                    "id": "fuel",
                    "challenge": "Fuel",
                    "response": "{fuel_left} left, {fuel_right} right",
                },
            ],
        },
    ],
}


def base() -> Checklist:
    return checklist_from(from_plain(BASE), "base.yaml")


def overlay(*changes: dict[str, Any], **more: Any) -> Overlay:
    plain = {"callout": 1, "overlay": "before-start", "title": "Operator", "changes": list(changes)}
    return overlay_from(from_plain({**plain, **more}, line=7), "operator.yaml")


def merged(*changes: dict[str, Any], **more: Any) -> Checklist:
    return merge_overlay(base(), overlay(*changes, **more))


def refusal(*changes: dict[str, Any]) -> FileProblems:
    with pytest.raises(FileProblems) as caught:
        merged(*changes)
    assert caught.value.message.startswith("operator.yaml, line 7: ")
    assert caught.value.hint
    return caught.value


def ids(checklist: Checklist) -> list[str]:
    return [item.id for item in checklist.items]


NEW = {"id": "vests", "challenge": "Vests", "response": "worn"}


@pytest.mark.parametrize(
    ("place", "order"),
    [
        ({"after": "doors"}, ["doors", "vests", "briefing", "beacon", "qnh", "fuel"]),
        ({"before": "doors"}, ["vests", "doors", "briefing", "beacon", "qnh", "fuel"]),
        ({"before": "beacon"}, ["doors", "briefing", "vests", "beacon", "qnh", "fuel"]),
        ({"section": "Cabin"}, ["doors", "briefing", "vests", "beacon", "qnh", "fuel"]),
        (
            {"section": "Power", "first": True},
            ["doors", "briefing", "vests", "beacon", "qnh", "fuel"],
        ),
    ],
)
def test_add(place: dict[str, Any], order: list[str]) -> None:
    checklist = merged({"add": NEW, **place})
    assert ids(checklist) == order
    item = checklist.item("vests")
    assert str(item.origin) == "operator.yaml:7"
    assert [change.kind for change in item.changes] == [ChangeKind.ADDED]
    assert item.responder is Role.LEFT_SEAT, "the list's own role goes for added items too"


def test_move_keeps_the_origin_and_says_who_moved_it() -> None:
    checklist = merged({"move": "fuel", "before": "doors"})
    assert ids(checklist) == ["fuel", "doors", "briefing", "beacon", "qnh"]
    item = checklist.item("fuel")
    assert item.origin.file == "base.yaml"
    assert [(c.kind, str(c.origin)) for c in item.changes] == [
        (ChangeKind.MOVED, "operator.yaml:7")
    ]


def test_reword_keeps_values_and_how_they_are_judged() -> None:
    checklist = merged(
        {"reword": "qnh", "challenge": "Altimeter setting", "response": "{qnh} set"},
        {
            "reword": "fuel",
            "response": "left {fuel_left} and right {fuel_right}",
            "note": "Dip it.",
        },
    )
    qnh = checklist.item("qnh")
    assert (qnh.challenge, qnh.spoken) == ("Altimeter setting", "Altimeter setting")
    assert qnh.responses[0].text == "{qnh} set"
    assert (qnh.responses[0].tolerance, qnh.responses[0].other_units) == (Decimal(1), ("inHg",))
    assert checklist.item("fuel").notes == ("Dip it.",)


def test_tighten() -> None:
    checklist = merged(
        {"tighten": "doors", "only": "closed", "critical": True, "wrong": "open"},
        {"tighten": "briefing", "always": True, "who": "right-seat"},
        {"tighten": "qnh", "tolerance": 0, "who": "both"},
    )
    doors, briefing, qnh = (checklist.item(name) for name in ("doors", "briefing", "qnh"))
    assert [response.text for response in doors.responses] == ["closed"]
    assert (doors.critical, doors.actual_status) == (True, True)
    assert [wrong.response.text for wrong in doors.wrong] == ["open"]
    assert (briefing.when, briefing.once, briefing.responder) == (None, None, Role.RIGHT_SEAT)
    assert (qnh.responses[0].tolerance_limit, qnh.responder) == (Decimal(0), Role.BOTH)


def test_calls_and_notes_of_the_list() -> None:
    checklist = merged(
        {"move": "fuel", "after": "doors"},
        complete="complete to the line",
        trigger="before start, please",
        caution="Wet apron.",
    )
    assert checklist.completion_call == "complete to the line"
    assert checklist.triggers == ("Before start checklist", "before start, please")
    assert checklist.cautions == ("Wet apron.",)
    assert checklist.overlays == ("Operator",)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"add": {**NEW, "id": "doors"}, "after": "beacon"}, "already used at base.yaml:1"),
        ({"add": {**NEW, "challenge": "doors"}, "after": "beacon"}, "challenged twice"),
        ({"add": NEW, "after": "door"}, 'no item "door"'),
        ({"add": NEW, "section": "Cabbin"}, 'no section "Cabbin"'),
        ({"add": NEW}, "in one way where"),
        ({"add": NEW, "after": "doors", "before": "beacon"}, "in one way where"),
        ({"move": "nothing", "after": "doors"}, 'no item "nothing"'),
        ({"move": "doors", "after": "doors"}, "beside itself"),
        ({"remove": "beacon"}, 'cannot remove the item "beacon"'),
        ({"remove": "beacon", "reword": "beacon"}, 'cannot remove the item "beacon"'),
        ({"reword": "beacon", "response": "off"}, "both as a response and as wrong"),
        ({"reword": "qnh", "response": "{standard}"}, "asks for other values"),
        ({"reword": "qnh", "response": "set"}, "asks for other values"),
        ({"reword": "fuel", "response": "{fuel_right} left, {fuel_left} right"}, "other values"),
        ({"reword": "beacon", "response": "on 2"}, "asks for other values"),
        ({"reword": "beacon", "response": {"text": "on"}}, "must be text"),
        ({"reword": "beacon", "when": "night"}, "is not a key"),
        ({"tighten": "beacon", "when": "night"}, "is not a key"),
        ({"tighten": "qnh", "critical": False}, "cannot loosen critical"),
        ({"tighten": "qnh", "actual_status": False}, "cannot loosen actual_status"),
        ({"tighten": "qnh", "tolerance": 2}, "tolerance of"),
        ({"tighten": "doors", "only": "open"}, "is not a response of"),
        ({"tighten": "doors", "wrong": "closed"}, "both as a response and as wrong"),
        ({"tighten": "doors", "who": "right-seat"}, "answered by left-seat"),
        ({"rewrod": "doors", "challenge": "Door"}, "not a change an overlay can make"),
    ],
)
def test_what_an_overlay_cannot_do(change: dict[str, Any], says: str) -> None:
    assert says in refusal(change).message


def test_an_item_cannot_be_added_twice() -> None:
    again = {"add": NEW, "after": "doors"}
    assert "already used at operator.yaml:7" in refusal(again, again).message
    refusal(again, again, {"reword": "vests", "challenge": "Jackets"})


def test_the_wrong_list_is_named() -> None:
    with pytest.raises(FileProblems, match="for the list"):
        merge_overlay(base(), overlay({"move": "a", "after": "b"}, overlay="taxi"))


IDS = st.sampled_from(["doors", "briefing", "beacon", "qnh", "fuel", "extra0", "extra1"])
PLACES = st.one_of(
    st.fixed_dictionaries({"before": IDS}),
    st.fixed_dictionaries({"after": IDS}),
    st.sampled_from([{"section": "Cabin"}, {"section": "Power", "first": True}]),
)
CHANGES = st.one_of(
    st.builds(lambda item, place: {"move": item, **place}, IDS, PLACES),
    st.builds(
        lambda n, place: {
            "add": {"id": f"extra{n}", "challenge": f"Extra {n}", "response": "on"},
            **place,
        },
        st.integers(0, 1),
        PLACES,
    ),
    st.builds(lambda item: {"reword": item, "challenge": f"The {item}"}, IDS),
    st.builds(lambda item: {"tighten": item, "critical": True}, IDS),
)


@settings(deadline=None)
@given(st.lists(CHANGES, min_size=1, max_size=8))
def test_whatever_an_overlay_says_no_item_is_lost_or_loosened(
    changes: list[dict[str, Any]],
) -> None:
    before = base()
    try:
        after = merge_overlay(before, overlay(*changes))
    except FileProblems:
        return
    assert len(ids(after)) == len(set(ids(after)))
    for item in before.items:
        kept = after.item(item.id)
        assert kept.critical >= item.critical
        assert kept.actual_status >= item.actual_status
        assert {r.text for r in kept.responses} <= {r.text for r in item.responses}
        assert set(item.wrong) <= set(kept.wrong)
        assert kept.origin == item.origin
