"""Nothing on a page is lost without a word: each word is somewhere in what a person is shown."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.accounting import accounted, tokens
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import NOT_PLACED, TURNED, Doubt, LeftOut, Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.authoring.texts import read_list_text, read_table
from callout.core.paper.page import Box, Page, Word
from tests.core.authoring.test_pages import words

RIVALS = known_rivals()
_OWN_WORDS = {"checklist", "check", "list", "complete", "note", "caution", "warning", "to"}
"""Words that say what a line is; they are not repeated."""


def read_whole(page: Page) -> Reading:
    rows = page_rows(page)
    kept, furniture = leave_out_furniture((page,), rows)
    reading = read_rows(kept, RIVALS)
    out = tuple(LeftOut(row.origin, "furniture") for row in furniture)
    return accounted(replace(reading, left_out=(*reading.left_out, *out)), kept, (page,))


def shown_words(reading: Reading) -> set[str]:
    """Return every word of what the confirmation shows."""
    texts = [reading.title, reading.completion_call, *(t for pair in reading.calls for t in pair)]
    texts += [out.origin.text for out in reading.left_out]
    for guess in reading.guesses:
        item = guess.item
        texts += [guess.section, guess.of_list, guess.condition, item.note, item.caution]
        texts += [guess.printed, item.challenge, *item.responses]
    return set(tokens(" ".join(texts))) | {"".join(tokens(text)) for text in texts}


LINES = st.one_of(
    st.sampled_from([
        "BRAKES .... SET", "FUEL ____ KG", "ALTIMETER .... QNH ____ / CHECKED", "Mixture to RICH",
        "NOTE: wait ten seconds", "ENGINE", "If night:", "1. Doors: shut", "a. Pump to ON, RISING",
        "TRANS-", "PONDER .... ON", "PM: Flaps - 5", "TAXI CHECKLIST", "TAXI CHECKLIST COMPLETE",
        "Rev 4 page 2", "V1 ____ VR ____", "[ ] LIGHTS : ON [ ]", "* Above 12 500 ft.", "PF", "2-4",
        "FLAPS .... UP OR 10 (both latches)", "APU (if fitted) .... ON", "PITOT HEAT .... AS RQRD",
    ]),
    st.text(alphabet="ABab 19.:/-_(){}*", min_size=1, max_size=24),
)  # fmt: skip
PLACES = st.tuples(
    LINES, st.sampled_from([40, 60, 300, 320]), st.integers(2, 76), st.sampled_from([8, 10, 15])
)


@settings(deadline=None)
@given(st.lists(PLACES, min_size=1, max_size=14, unique_by=lambda p: (p[1] // 200, p[2] // 2)))
def test_every_word_of_a_page_is_in_what_is_shown(
    places: list[tuple[str, int, int, int]],
) -> None:
    found: list[Word] = []
    for text, left, line, size in places:
        found += words(" ".join(text.split()) or "-", left, line * 10, size)
    reading = read_whole(Page(1, 600, 800, tuple(found)))
    shown = shown_words(reading)
    numbers = {str(n) for n in range(1000)}
    for text, *_ in places:
        for word in tokens(text):
            bullet = len(word) == 1 or word in numbers  # "1." or "a)" before an item
            hyphened = any(word in other for other in shown)
            assert word in shown or hyphened or word in _OWN_WORDS or bullet, (word, reading)


@settings(deadline=None)
@given(st.lists(LINES, min_size=1, max_size=10))
def test_every_word_of_a_text_is_in_what_is_shown(lines: list[str]) -> None:
    reading = read_list_text("\n".join(lines), RIVALS)
    shown = shown_words(reading)
    for line in lines:
        for word in tokens(line):
            hyphened = any(word in other for other in shown)
            assert word in shown or hyphened or word in _OWN_WORDS or len(word) < 3


@settings(deadline=None)
@given(
    st.lists(st.sampled_from(["FUEL", "____", "KG", "/", "SET", "VR", "____,", "OR"]), min_size=1)
)
def test_a_blank_is_kept_or_asked_about(parts: list[str]) -> None:
    reading = read_list_text(f"# Taxi\nTANKS .... {' '.join(parts)}\n", RIVALS)
    for guess in reading.guesses:
        kept = sum(reply.count("{") for reply in guess.item.responses)
        assert kept >= guess.raw.count("____") or guess.doubts


def test_what_a_rule_drops_is_shown_all_the_same() -> None:
    found = words("TAXI", 40, 20, 16)
    for at, name in enumerate(("BRAKES", "FUEL", "TRIM")):
        found += words(name, 40, 60 + 16 * at) + words("SET", 400, 60 + 16 * at)
    page = Page(1, 600, 800, tuple(found))
    rows = page_rows(page)
    reading = read_rows(rows, RIVALS)
    careless = replace(reading, guesses=(reading.guesses[0], reading.guesses[2]))
    told = accounted(careless, rows, (page,)).not_placed
    assert [(out.origin.text, out.why) for out in told] == [("FUEL SET", NOT_PLACED)]
    assert not accounted(reading, rows, (page,)).not_placed
    told = accounted(read_rows(rows[:-1], RIVALS), rows[:-1], (page,)).not_placed
    assert [out.origin.text for out in told] == ["TRIM SET"]


def test_a_value_that_a_rule_drops_is_asked_about() -> None:
    reading = read_list_text("# Taxi\nFUEL .... ____ KG\n", RIVALS)
    guess = reading.guesses[0]
    careless = replace(guess, item=replace(guess.item, responses=("checked",)))
    told = accounted(replace(reading, guesses=(careless,)), ())
    assert told.guesses[0].doubts == (Doubt.HOLE,)


def test_words_printed_sideways_are_shown() -> None:
    found = words("TAXI", 40, 20, 16) + words("BRAKES", 40, 60) + words("SET", 400, 60)
    turned = (Word("HOURLY", Box(20, 60, 30, 100)), Word("CHECK", Box(20, 20, 30, 55)))
    told = read_whole(Page(1, 600, 800, tuple(found), turned=turned)).not_placed
    assert [(out.origin.text, out.why) for out in told] == [("HOURLY CHECK", TURNED)]


def test_a_column_of_a_table_without_a_meaning_is_shown() -> None:
    rows = [["Item", "Response", "Torque"], ["Brakes", "Set", ""], ["Bolt", "Tight", "40 Nm"]]
    told = read_table(rows, RIVALS).not_placed
    assert [out.origin.text for out in told] == ["40 nm"]
