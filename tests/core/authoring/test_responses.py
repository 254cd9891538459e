"""What stands as a response on a card, understood."""

from __future__ import annotations

import pytest

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.asides import take_asides
from callout.core.authoring.guesses import Doubt, draft_of
from callout.core.authoring.responses import understand_response
from callout.core.authoring.texts import read_list_text


@pytest.mark.parametrize(
    ("challenge", "written", "replies"),
    [
        ("Parking brake", "SET", ("set",)),
        ("Altimeters", "____ SET / CROSS-CHECKED", ("{altimeters} set, cross-checked",)),
        ("APU", "ON or AUTO", ("on", "auto")),
        ("APU", "ON/AUTO", ("on", "auto")),
        ("Flaps", "UP / DOWN", ("up", "down")),
        ("Doors", "CLOSED & LATCHED", ("closed, latched",)),
        ("Controls", "FREE / CORRECT", ("free, correct",)),
        ("Fuel", "L ___ KG R ___ KG", ("left {fuel_left}, right {fuel_right}",)),
        ("Fuel", "____/____", ("{fuel_1}, {fuel_2}",)),
        ("Speeds", "V1 ____ VR ____ V2 ____", ("V1 {v1}, VR {vr}, V2 {v2}",)),
        ("Fuel quantity", "KG", ("{fuel_quantity}",)),
        ("Trim", "[    ] UNITS", ("{trim}",)),
        ("Altimeter", "1013 hPa", ("1013 hPa",)),
        ("QNH", "{qnh}", ("{qnh}",)),
        ("Final speed", "VREF + 5 KT", ("vref + 5 KT",)),
    ],
)
def test_replies_as_a_list_writes_them(
    challenge: str, written: str, replies: tuple[str, ...]
) -> None:
    assert understand_response(written, challenge, known_rivals()).replies == replies


def test_a_blank_is_a_quantity_with_its_kind_and_unit() -> None:
    (blank,) = understand_response("_____ KG", "Fuel quantity", known_rivals()).blanks
    assert (blank.name, blank.kind, blank.unit) == ("fuel_quantity", "mass", "kg")
    meant = understand_response("____", "Stand", known_rivals())
    assert meant.replies == ("{stand}",)
    assert meant.doubts == (Doubt.BLANK,)


@pytest.mark.parametrize(
    "written", ["AS RQRD", "AS REQ'D", "As required", "AS REQD", "as req", "A/R"]
)
def test_as_required_asks_for_the_positions(written: str) -> None:
    meant = understand_response(written, "Anti-ice", known_rivals())
    assert meant.as_required
    assert meant.replies == ()
    assert meant.doubts == (Doubt.AS_REQUIRED,)


def test_as_required_with_its_positions_asks_nothing() -> None:
    meant = understand_response("AS REQUIRED (ON / OFF)", "Anti-ice", known_rivals())
    assert (meant.replies, meant.doubts) == (("on", "off"), ())


def test_what_may_be_both_or_either_is_asked_and_held_to_be_both() -> None:
    meant = understand_response("ON / TUNED", "Radio", known_rivals())
    assert (meant.replies, meant.doubts) == (("on, tuned",), (Doubt.SLASH,))


@pytest.mark.parametrize(
    ("text", "bare", "who", "when"),
    [
        ("DOORS (PM)", "DOORS", "pilot-monitoring", ""),
        ("LIGHTS PF", "LIGHTS", "pilot-flying", ""),
        ("APU (if installed)", "APU", "", "if installed"),
        ("Left tank (main)", "Left tank (main)", "", ""),
        ("Alternate air (cloud)", "Alternate air", "", "cloud"),
        ("Ignition (heavy rain)", "Ignition", "", "heavy rain"),
        ("Hook (first launch)", "Hook", "", "first launch"),
        ("Sink rate (glassy water)", "Sink rate", "", "glassy water"),
        ("Fuel drains (water)", "Fuel drains (water)", "", ""),
        ("Air bleeds (short runway)", "Air bleeds", "", "short runway"),
        ("FUEL PUMPS (BOTH)", "FUEL PUMPS (BOTH)", "", ""),
    ],
)
def test_marks_beside_a_challenge(text: str, bare: str, who: str, when: str) -> None:
    told = take_asides(text)
    assert (told.text, told.who.value if told.who else "", told.when) == (bare, who, when)


CARD = """BEFORE START CHECKLIST
Rev 3   Page 1 of 2

CABIN
SEAT BELTS ............ FASTENED (BOTH)
APU (if installed) .... ON or AUTO
Night:
NAV LIGHTS ............ ON
ALTIMETER _____________________ hPa
NOTE: The second altimeter follows
the first.
CAUTION: Mind the gust lock.
BEFORE START CHECKLIST COMPLETE
"""


def test_a_whole_card_with_conditions_notes_and_cautions() -> None:
    reading = read_list_text(CARD, known_rivals())
    draft = draft_of(reading)
    assert draft.title == "Before start"
    assert draft.completion_call == "before start checklist complete"
    belts, apu, lights, altimeter = draft.items
    assert belts.responses == ("fastened (both)",)
    assert apu.when == "apu_installed"
    assert lights.when == "night"
    assert altimeter.responses == ("{altimeter}",)
    assert altimeter.note == "The second altimeter follows the first"
    assert altimeter.caution == "Mind the gust lock"
    assert [guess.origin.line for guess in reading.guesses] == [5, 6, 8, 9]


def test_a_line_of_underscores_is_asked_about_where_nothing_is_measured() -> None:
    reading = read_list_text("Taxi\n\nFuel pump ____ on\nAltimeter ____ set\n", known_rivals())
    pump, altimeter = reading.guesses
    assert (pump.item.responses, pump.doubts) == (("on",), (Doubt.LINE,))
    assert altimeter.item.responses == ("{altimeter} set",)


@pytest.mark.parametrize(
    ("written", "blank"),
    [("KG", True), ("hPa / BOTH SET", True), ("FT / CROSS-CHECKED", True), ("kt set", True),
     ("LOW", False), ("LEFT", False), ("MIN", False), ("1013 hPa", False), ("L", False)],
)  # fmt: skip
def test_a_unit_without_a_number_has_lost_its_blank(written: str, blank: bool) -> None:
    assert bool(understand_response(written, "QNH", known_rivals()).blanks) == blank


def test_a_blank_that_ends_up_in_a_note_is_asked_about() -> None:
    text = "Taxi\n\nBrakes .... checked\nNOTE: fuel ____ kg\nFlaps .... up\n"
    reading = read_list_text(text, known_rivals())
    assert Doubt.LINE in reading.guesses[0].doubts


def test_a_heading_that_begins_like_a_condition_stays_a_heading() -> None:
    text = "Taxi\n\nAFTER CLEARANCE\nFlaps .... up\nNIGHT\nLights .... on\n"
    flaps, lights = read_list_text(text, known_rivals()).guesses
    assert (flaps.section, flaps.item.when) == ("After clearance", "")
    assert lights.item.when == "night"


@pytest.mark.parametrize(
    ("text", "replies"),
    [
        ("1/4 OPEN", ("1/4 open",)),
        ("TESTED / OFF", ("tested, off",)),
        ("4.5 - 5.5 INHG", ("4.5 - 5.5 inhg",)),
        ("NORM / IGN AS RQRD", ("norm", "IGN")),
    ],
)
def test_what_a_slash_and_a_dash_divide(text: str, replies: tuple[str, ...]) -> None:
    assert understand_response(text, "Mode", known_rivals()).replies == replies
