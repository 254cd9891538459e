"""What the columns of printed tables and the cells of forms hold. All are common practice."""

from __future__ import annotations

from callout.core.authoring.guesses import Doubt, Reading
from callout.core.authoring.reading import read_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows
from tests.core.authoring.test_pages import pairs_of, words


def _table(*lines: tuple[str, ...], lefts: tuple[int, ...]) -> list[Word]:
    found = words("WINTER CARD", 40, 10, 16)
    for at, line in enumerate(lines):
        for left, cell in zip(lefts, line, strict=False):
            found += words(cell, left, 60 + 20 * at) if cell else []
    return found


def _read(found: list[Word], strokes: tuple[Box, ...] = ()) -> Reading:
    page = Page(1, 595.0, 842.0, tuple(found), strokes)
    return read_rows(best_rows((page,), {}), {})


def _items(reading: Reading) -> dict[str, tuple[str, ...]]:
    return dict(pairs_of(reading))


def test_a_least_and_a_most_are_one_reply_and_are_asked_about() -> None:
    found = _table(
        ("Parameter", "Min", "Max", "Unit"),
        ("Oil pressure", "2", "5", "bar"),
        ("Voltage", "13", "15", "V"),
        ("Magneto drop", "", "150", "rpm"),
        lefts=(40, 200, 260, 320),
    )
    reading = _read(found)
    assert _items(reading) == {
        "Oil pressure": ("min 2, max 5 bar",),
        "Voltage": ("min 13, max 15 V",),
        "Magneto drop": ("max 150 rpm",),
    }
    assert all(Doubt.RANGE in guess.doubts for guess in reading.guesses)


def test_replies_under_the_names_of_the_crew_say_who_answers() -> None:
    found = _table(
        ("Approach", "PF", "PM"),
        ("Minima", "SET", ""),
        ("Marker lights", "", "ON"),
        ("Recall", "CHECKED", "CHECKED"),
        ("Speed bugs", "SET", "CHECKED"),
        lefts=(40, 200, 320),
    )
    reading = _read(found)
    who = {guess.item.challenge: guess.item.who for guess in reading.guesses}
    assert _items(reading)["Recall"] == ("checked",)
    assert who == {
        "Minima": "pilot-flying",
        "Marker lights": "pilot-monitoring",
        "Recall": "both",
        "Speed bugs": "both",
    }


def test_a_row_over_the_columns_is_no_item_though_its_words_are_unknown() -> None:
    plain = _table(("Thing", "Wanted"), lefts=(40, 200))[2:]
    head = [Word(word.text, word.box, 1.0, True) for word in plain]
    rows = _table(
        ("", ""),
        ("Beacon", "ON"),
        ("Trim", "SET"),
        ("Doors", "CLOSED"),
        ("Flaps", "UP"),
        lefts=(40, 200),
    )
    assert list(_items(_read([*rows, *head]))) == ["Beacon", "Trim", "Doors", "Flaps"]


def test_an_item_under_which_others_name_their_crew_member_heads_no_table() -> None:
    found = _table(
        ("PF", "Brakes", "CHECKED"),
        ("PM", "Flaps", "UP"),
        ("PM", "Beacon", "ON"),
        ("PF", "Trim", "SET"),
        ("PM", "Doors", "CLOSED"),
        lefts=(40, 100, 300),
    )
    assert list(_items(_read(found))) == ["Brakes", "Flaps", "Beacon", "Trim", "Doors"]


def test_captions_in_the_cells_of_a_form_are_items_with_a_value() -> None:
    names = ("QNH", "Runway", "Fuel", "V1", "VR", "Torque")
    found = words("LANDING DATA", 40, 10, 16)
    rules: list[Box] = []
    for at, name in enumerate(names):
        left, top = 40 + 120 * (at % 3), 60 + 40 * (at // 3)
        found += words(name, left + 4, top + 3)
        rules += [Box(x, top, x + 1, top + 40) for x in (left, left + 120)]
        rules += [Box(left, y, left + 120, y + 1) for y in (top, top + 40)]
    made = _items(_read(found, tuple(rules)))
    assert len(made) == len(names)
    assert all(len(reply) == 1 and reply[0].startswith("{") for reply in made.values())


def test_dots_with_a_unit_after_them_are_written_on() -> None:
    found = _table(
        ("Oil added", "............ qt"),
        ("Left tank", "............ litres"),
        ("Caps", "TIGHT"),
        ("Drains", "CLEAR"),
        lefts=(40, 200),
    )
    made = _items(_read(found))
    assert made["Oil added"] == ("{oil_added}",)
    assert made["Left tank"] == ("{left_tank}",)


def test_more_than_and_minus_stay_in_a_reply() -> None:
    found = _table(
        ("Oil temperature", "> 50 C"),
        ("Trim", "-1"),
        ("Doors", "CLOSED"),
        ("Flaps", "UP"),
        lefts=(40, 200),
    )
    made = _items(_read(found))
    assert made["Oil temperature"] == ("> 50 C",)
    assert made["Trim"] == ("-1",)


def test_whole_items_in_the_cells_of_a_table_are_items() -> None:
    found = _table(
        ("Hopper", "Lid \u2013 latched", "It has come off before"),
        ("", "Lever \u2013 forward", ""),
        ("Booms", "Nozzles \u2013 fitted", "Look at each"),
        ("", "Valve \u2013 shut", ""),
        ("Cockpit", "Helmet \u2013 on", ""),
        ("", "Smoke \u2013 on", ""),
        lefts=(40, 140, 330),
    )
    made = _items(_read(found))
    assert made == {
        "Lid": ("latched",),
        "Lever": ("forward",),
        "Nozzles": ("fitted",),
        "Valve": ("shut",),
        "Helmet": ("on",),
        "Smoke": ("on",),
    }
