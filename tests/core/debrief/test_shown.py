"""Free text on a screen."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from callout.core.debrief.shown import clock_words, duration_words, shown_text


def test_controls_and_direction_marks_become_visible() -> None:
    assert shown_text("a\x1b[31mred\x07\x9b2J") == "a\\x1b[31mred\\x07\\u009b2J"
    assert shown_text("x\u202egnp.exe") == "x\\u202egnp.exe"
    assert shown_text("one\ntwo\tthree") == "one two three"
    assert len(shown_text("y" * 10_000)) == 501


@given(st.text(max_size=200))
def test_nothing_harmful_is_left(text: str) -> None:
    left = {unicodedata.category(c) for c in shown_text(text)}
    assert not left & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def test_times_in_words() -> None:
    assert duration_words(59.6) == "1 min 00 s"
    assert duration_words(185) == "3 min 05 s"
    assert clock_words(65.9) == "1:05"
