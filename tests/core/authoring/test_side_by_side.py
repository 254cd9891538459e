"""Several names in one line, each with a blank of its own, and what stands over or beside items.

Forms of this kind, a name and a line to write on, two or three abreast: common practice.
"""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.accounting import accounted
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import NOT_PLACED, Doubt, LeftOut, Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.several import told_apart
from callout.core.authoring.texts import read_list_text
from callout.core.paper.blanks import blanks_in
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import pairs_of, words

RIVALS = known_rivals()
_TELL = {Doubt.HOLE, Doubt.LINE, Doubt.NO_RESPONSE, Doubt.TWO_PARTS}


def read_whole(found: list[Word], strokes: tuple[Box, ...] = ()) -> Reading:
    page = Page(1, 600, 800, tuple(found), strokes)
    kept, furniture = leave_out_furniture((page,), best_rows((page,), RIVALS))
    reading = read_rows(kept, RIVALS)
    out = tuple(LeftOut(row.origin, "furniture") for row in furniture)
    return accounted(replace(reading, left_out=(*reading.left_out, *out)), kept, (page,))


def test_each_name_with_a_blank_is_an_item() -> None:
    found = words("METERS", 40, 10, 16)
    lines = (
        ("Tacho out ____", "Tacho in ____"),
        ("Left tank ____ L", "Right tank ____ L"),
        ("Uplift ____ L", "Oil added ____"),
    )
    for at, (one, other) in enumerate(lines):
        found += words(one, 40, 50 + 20 * at) + words(other, 300, 50 + 20 * at)
    for at, name in enumerate(("Fuel selector", "Master switch", "Ignition", "Windows")):
        found += words(name, 40, 150 + 16 * at) + words("OFF", 400, 150 + 16 * at)
    reading = read_whole(found)
    assert sorted(pairs_of(reading)[:6]) == sorted([
        ("Tacho out", ("{tacho_out}",)), ("Tacho in", ("{tacho_in}",)),
        ("Left tank", ("{left_tank}",)), ("Right tank", ("{right_tank}",)),
        ("Uplift", ("{uplift}",)), ("Oil added", ("{oil_added}",)),
    ])  # fmt: skip
    assert not reading.not_placed


def test_a_name_that_is_a_state_elsewhere_is_a_name_beside_another() -> None:
    found = words("LANDING", 40, 10, 16)
    found += words("Minimum ____ ft", 40, 50) + words("Alternate ____", 300, 50)
    found += words("Flaps", 40, 80) + words("DOWN", 400, 80)
    assert [name for name, _ in pairs_of(read_whole(found))][:2] == ["Minimum", "Alternate"]


def test_labels_of_one_thing_stay_one_item() -> None:
    told = "# Taxi\nSPEEDS .... V1 ____ VR ____\nFUEL L ____ R ____\nFuel ____ kg at ____ kt\n"
    assert [challenge for challenge, _ in pairs_of(read_list_text(told, RIVALS))] == [
        "Speeds", "Fuel", "Fuel",
    ]  # fmt: skip


NAMES = st.sampled_from([
    "Tacho out", "Engine off", "Left", "L", "V1", "VR", "OIL ADDED", "Fuel", "set", "Landing",
    "", "and", "QNH", "Uplift", "SPEEDS", "12", "Brakes SET", "Note:", "Reserve, total",
])  # fmt: skip
BLANKS = st.sampled_from(["____", "__", "______________", "____ L", "____ kg", "____.__", "_" * 20])
LINES = st.lists(st.tuples(NAMES, BLANKS, st.sampled_from([1, 3, 40])), min_size=1, max_size=4)


def _shown(reading: Reading) -> int:
    """Return how many blanks are values, or stand in a line that is asked about or shown."""
    count = sum(blanks_in(out.origin.text) for out in reading.left_out)
    for guess in reading.guesses:
        kept = sum(reply.count("{") for reply in guess.item.responses)
        asked = blanks_in(guess.origin.text) if _TELL & set(guess.doubts) else 0
        count += max(kept, asked)
    return count


@settings(deadline=None, max_examples=50)
@given(st.lists(LINES, min_size=1, max_size=4))
def test_no_blank_of_a_page_is_gone_without_a_word(
    lines: list[list[tuple[str, str, int]]],
) -> None:
    found = words("TAXI CHECKLIST", 40, 20, 16)
    printed = 0
    for at, line in enumerate(lines):
        left = 40.0
        for name, blank, gap in line:
            for text in (name, blank):
                if text:
                    found += words(text, left, 60 + 18 * at)
                    left = found[-1].box.right + 3.0
            left += 3.0 * gap
        texts = " ".join(f"{name} {blank}" for name, blank, _ in line)
        printed += blanks_in(texts)
    assert _shown(read_whole(found)) >= printed


@settings(deadline=None)
@given(st.lists(LINES, min_size=1, max_size=6))
def test_no_blank_of_a_text_is_gone_without_a_word(
    lines: list[list[tuple[str, str, int]]],
) -> None:
    texts = [
        "".join(f"{name} {blank}{' ' * gap}" for name, blank, gap in line).strip() for line in lines
    ]
    reading = read_list_text("\n".join(["# Taxi", *texts]), RIVALS)
    assert _shown(reading) >= sum(map(blanks_in, texts))


def test_a_blank_that_stood_in_the_challenge_is_asked_about() -> None:
    reading = read_list_text("# Taxi\nfuel ____ L, then oil ____ qt and water\n", RIVALS)
    (guess,) = reading.guesses
    assert sum(r.count("{") for r in guess.item.responses) == 2 or Doubt.HOLE in guess.doubts


def test_a_blank_that_no_line_has_is_shown() -> None:
    found = words("TAXI", 40, 20, 16) + words("BRAKES", 40, 60) + words("SET", 400, 60)
    page = Page(1, 600, 800, (*found, Word("____", Box(300, 500, 340, 510))))
    rows = best_rows((Page(1, 600, 800, tuple(found)),), RIVALS)
    told = accounted(read_rows(rows, RIVALS), rows, (page,)).not_placed
    assert [(out.origin.text, out.why) for out in told] == [("____", NOT_PLACED)]


def _table(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[Word]:
    found = words("SEAPLANE CHECKS", 40, 10, 16)
    for at, cells in enumerate((heads, *rows)):
        for column, text in enumerate(cells):
            if text:
                found += words(text, 40 + 135 * column, 50 + 20 * at)
    return found


def test_columns_of_phases_and_remarks_become_sections_and_notes() -> None:
    rows = [
        ("Ramp", "Floats", "Pumped out", "Count aloud"), ("Ramp", "Rudders", "Down", ""),
        ("Start", "Mixture", "Rich", ""), ("Start", "Oil pressure", "____ psi", "30 to 60"),
    ]  # fmt: skip
    reading = read_whole(_table(("Phase", "Check", "Action", "Limit, remark"), rows))
    assert [(g.section, g.item.challenge, g.item.note) for g in reading.guesses] == [
        ("Ramp", "Floats", "Count aloud"), ("Ramp", "Rudders", ""),
        ("Start", "Mixture", ""), ("Start", "Oil pressure", "30 to 60"),
    ]  # fmt: skip
    assert not any(guess.doubts for guess in reading.guesses)


def test_columns_to_tick_are_no_part_of_an_item() -> None:
    rows = [("Log book", "Signed"), ("Tyres", "Inflated"), ("Brakes", "No leaks")]
    reading = read_whole(_table(("Check", "State", "1st", "2nd"), rows))
    assert [challenge for challenge, _ in pairs_of(reading)] == ["Log book", "Tyres", "Brakes"]


def test_a_condition_stands_with_the_items_set_in_under_it() -> None:
    found: list[Word] = []
    lines = (("Doors", 40), ("If night:", 40), ("Panel lights", 70), ("Torch", 70), ("Wind", 40))
    for at, (name, left) in enumerate(lines):
        found += words(name, left, 50 + 18 * at)
        found += [] if name.endswith(":") else words("CHECKED", 400, 50 + 18 * at)
    assert [(g.item.challenge, g.item.when) for g in read_whole(found).guesses] == [
        ("Doors", ""), ("Panel lights", "night"), ("Torch", "night"), ("Wind", ""),
    ]  # fmt: skip


def test_conditions_in_their_usual_forms_end_where_all_flights_begin() -> None:
    told = "# Taxi\nDoors .... shut\n\n{}\nProbe heat .... on\n\nAll flights:\nWind .... checked\n"
    for line, when in (
        ("If night:", "night"), ("NIGHT ONLY", "night"), ("In icing:", "icing"),
        ("In rain:", "rain"), ("IFR only", "ifr"), ("With passengers:", "with_passengers"),
    ):  # fmt: skip
        whole = read_list_text(told.format(line), RIVALS)
        assert [guess.item.when for guess in whole.guesses] == ["", when, ""], line


def test_the_same_value_in_two_sections_is_two_values() -> None:
    told = "# Card\nDEPARTURE\nATIS .... ____\nTrim .... set\n\nSTAND\nATIS .... ____\n"
    whole = told_apart(read_list_text(told, RIVALS))
    names = [blank.name for guess in whole.guesses for blank in guess.blanks]
    challenges = [guess.item.challenge for guess in whole.guesses]
    assert len(set(names)) == len(names) == 2
    assert len(set(challenges)) == len(challenges)
    assert told_apart(whole) == whole
