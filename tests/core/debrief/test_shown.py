"""Free text on a screen."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from callout.core.debrief.shown import clock, duration, shown


def test_controls_and_direction_marks_become_visible() -> None:
    assert shown("a\x1b[31mred\x07\x9b2J") == "a\\x1b[31mred\\x07\\u009b2J"
    assert shown("x\u202egnp.exe") == "x\\u202egnp.exe"
    assert shown("one\ntwo\tthree") == "one two three"
    assert len(shown("y" * 10_000)) == 501


@given(st.text(max_size=200))
def test_nothing_harmful_is_left(text: str) -> None:
    left = {unicodedata.category(c) for c in shown(text)}
    assert not left & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def test_times_in_words() -> None:
    assert duration(59.6) == "1 min 00 s"
    assert duration(185) == "3 min 05 s"
    assert clock(65.9) == "1:05"
