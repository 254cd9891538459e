"""Folding of what was said or written to plain lower-case text."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from callout.core.language.words import fold_text


@given(st.text(alphabet=st.characters(max_codepoint=126), max_size=40))
def test_plain_text_is_folded_like_all_text(text: str) -> None:
    """Unicode's own rules (UAX 15, chapter 3.13 of the standard) on text that needs little."""
    spelled = text.replace("%", " percent ").replace("&", " and ").replace("km/h", " kmh ")
    folded = unicodedata.normalize("NFKD", spelled).casefold()
    kept = "".join(c for c in folded if unicodedata.category(c) != "Cc" or c in "\n\t")
    assert fold_text(text) == kept
