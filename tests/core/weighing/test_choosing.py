"""A page is read by the convention that its own lines keep, whichever that is."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.authoring.sources import known_rivals
from callout.core.authoring.accounting import accounted
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import LeftOut, Reading
from callout.core.authoring.likely import pair_likeness
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Box, Page, Word
from callout.core.weighing.choosing import best_rows, dropped_names

RIVALS = known_rivals()
EM = 10.0
ITEMS = (
    ("Parking brake", "set"), ("Hatches", "locked"), ("Mixture", "rich"), ("Fuel pump", "on"),
    ("Climb speed", "76 kt"), ("Cowl flaps", "open"), ("Oil pressure", "normal"),
)  # fmt: skip
Lines = list[list[tuple[float, str]]]
"""Each line as texts with the place where they begin."""


def page_of(lines: Lines) -> Page:
    words = []
    for number, line in enumerate(lines):
        top = 60.0 + 18 * number
        for left, text in line:
            for part in text.split():
                width = 5.5 * len(part)
                words.append(Word(part, Box(left, top, left + width, top + EM)))
                left += width + 3.0
    return Page(1, 595.0, 842.0, tuple(words))


def read(page: Page) -> Reading:
    rows = best_rows((page,), RIVALS)
    kept, furniture = leave_out_furniture((page,), rows)
    reading = read_rows(kept, RIVALS)
    left = [LeftOut(row.origin, "furniture") for row in furniture]
    out = (*reading.left_out, *left, *dropped_names(rows))
    return accounted(replace(reading, left_out=out), kept, (page,))


def pairs(reading: Reading) -> list[tuple[str, str]]:
    return [(g.item.challenge.casefold(), " ".join(g.item.responses)) for g in reading.guesses]


def set_by(line: Callable[[int, str, str], Lines]) -> Page:
    made: Lines = [[(50.0, "Before the flight")]]
    for number, (challenge, response) in enumerate(ITEMS):
        made += line(number + 1, challenge, response)
    return page_of(made)


CONVENTIONS: dict[str, Callable[[int, str, str], Lines]] = {
    "an unusual sign": lambda n, c, r: [[(50.0, f"{c} ¬ {r}")]],
    "a doubled sign": lambda n, c, r: [[(50.0, f"{c} :: {r}")]],
    "a leader of diamonds": lambda n, c, r: [[(50.0, f"{c} ◆◆◆◆◆◆◆◆ {r}")]],
    "quotes": lambda n, c, r: [[(50.0, f"{c} “{r}”")]],
    "angle brackets": lambda n, c, r: [[(50.0, f"{c} «{r}»")]],
    "only the words": lambda n, c, r: [[(50.0, f"{c} {r}")]],
    "counted, only the words": lambda n, c, r: [[(50.0, f"No {n} {c} {r}")]],
    "counted twice over": lambda n, c, r: [[(50.0, f"2.{n} {c}"), (300.0, r)]],
    "one under the other": lambda n, c, r: [[(50.0, c)], [(50.0, r)]],
    "the response first": lambda n, c, r: [[(50.0, r), (200.0, c)]],
    "the response first, a sign": lambda n, c, r: [[(50.0, f"{r} ~ {c}")]],
    "names on two lines": lambda n, c, r: [[(50.0, f"Call: {c}")], [(50.0, f"Reply: {r}")]],
    "names on one line": lambda n, c, r: [[(50.0, f"Call {c} Reply {r}")]],
    "columns without heads": lambda n, c, r: [
        [(50.0, str(n)), (90.0, "Roof" if n % 2 else "Floor"), (200.0, c), (350.0, r)]
    ],
}


@pytest.mark.parametrize("name", CONVENTIONS)
def test_whatever_the_convention_each_item_is_read_and_no_word_is_lost(name: str) -> None:
    reading = read(set_by(CONVENTIONS[name]))
    wanted = [(challenge.casefold(), response) for challenge, response in ITEMS]
    assert [pair for pair in pairs(reading) if pair in wanted] == wanted
    assert len(reading.guesses) == len(wanted)
    assert [out.origin.text for out in reading.not_placed] == []


def test_items_run_on_in_a_paragraph_are_read_one_by_one() -> None:
    text = "; ".join(f"{challenge} = {response}" for challenge, response in ITEMS)
    words = text.split()
    half = len(words) // 2
    reading = read(page_of([[(50.0, " ".join(words[:half]))], [(50.0, " ".join(words[half:]))]]))
    assert pairs(reading) == [(challenge.casefold(), response) for challenge, response in ITEMS]


def test_the_usual_reading_is_kept_where_it_explains_the_page() -> None:
    page = set_by(lambda n, c, r: [[(50.0, c), (300.0, r)]])
    assert best_rows((page,), RIVALS) == page_rows(page)


def test_an_item_is_more_likely_than_its_reverse() -> None:
    for challenge, response in ITEMS:
        assert pair_likeness(challenge, response) > 0.8
        assert pair_likeness(response, challenge) < 0.3


LINE = st.lists(
    st.tuples(
        st.sampled_from([50.0, 320.0]),
        st.lists(
            st.sampled_from([
                "Brake", "set", "on", "Fuel", "____", "76", "kt", "Flaps", "¬", "::", "“up”",
                "Step", "1", "2", "3", "Reply:", "Call:", "open", ";", "(off)",
            ]),
            min_size=1,
            max_size=5,
        ).map(" ".join),
    ),
    min_size=1,
    max_size=2,
    unique_by=lambda part: part[0],
)  # fmt: skip


@settings(deadline=None, max_examples=60)
@given(st.lists(LINE, min_size=3, max_size=12))
def test_whichever_way_is_chosen_every_blank_and_word_is_somewhere(lines: Lines) -> None:
    page = page_of(lines)
    reading = read(page)
    told = [out.origin.text for out in reading.left_out]
    told += [reading.title, *(guess.section for guess in reading.guesses)]
    for guess in reading.guesses:
        blanks = sum(reply.count("{") for reply in guess.item.responses)
        told += [guess.origin.text, guess.item.note]
        assert guess.doubts or blanks >= guess.raw.count("____")
    shown = " ".join(told).casefold()
    texts = [text for line in lines for _, text in line]
    counts = {text.split()[0] for text in texts if re.match(r"\d{1,2} [^\W\d_]", text)}
    for word in page.words:
        bare = word.text.strip("“”();:¬").casefold()
        assert bare in shown or bare in {"", *counts}, "but for a number that counts headings"
