"""Byte-pair tokens: there and back, and vocabularies that are damaged."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.errors import CalloutError
from callout.hearing.embedded.tokenizer import FIRST_TEXT_TOKEN, SPACE, Tokenizer
from callout.hearing.embedded.weights import Weights

PHRASES = (
    "on", "On.", "off", "both on", "Flaps 5", "flaps five", "one zero one three", "29.92",
    "1,013", "heading zero five zero", "closed and locked", "cross-feed", "they're set", "QNH 1013",
    "x-ray", "a", "I", "full and free!", "two thousand five hundred", "Überprüft", "№ 5", "5 °C",
)  # fmt: skip
BYTES = [bytes([b]) for b in range(256)]
MARKS = [b"<unk>", b"<s>", b"</s>"]


@pytest.fixture(scope="module")
def shipped() -> Tokenizer:
    try:
        return Tokenizer.from_bytes(Weights.shipped().tokens)
    except CalloutError as error:
        pytest.skip(f"{error.message} {error.hint}")


def made(*entries: str) -> Tokenizer:
    return Tokenizer([*MARKS, *(e.encode() for e in entries)])


def packed(entries: list[bytes]) -> bytes:
    """Return a vocabulary file: one length byte, or two with the high bit of the first set."""
    out = b""
    for entry in entries:
        n = len(entry)
        out += (bytes([n]) if n < 128 else bytes([128 + n % 128, n // 128])) + entry
    return out


@pytest.mark.parametrize("text", PHRASES)
def test_phrases_come_back_as_they_were(shipped: Tokenizer, text: str) -> None:
    try:
        tokens = shipped.encode(text)
    except ValueError:
        assert not text.isascii()  # every English phrase must be writable
        return
    assert shipped.decode(list(tokens)) == text
    assert all(t >= FIRST_TEXT_TOKEN for t in tokens)


WORDS = st.text("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,!?'-", min_size=1)


@settings(deadline=None)
@given(words=st.lists(WORDS, min_size=1, max_size=5))
def test_any_english_text_comes_back(shipped: Tokenizer, words: list[str]) -> None:
    text = " ".join(words)
    assert shipped.decode(list(shipped.encode(text))) == text


def test_a_common_word_is_one_token_and_merges_keep_the_order_of_numbers(
    shipped: Tokenizer,
) -> None:
    assert len(shipped.encode("on")) == 1
    # "ab" comes before "bc" in the vocabulary, so "abc" is read ab + c.
    early = made(SPACE, "a", "b", "c", "ab", "bc")
    late = made(SPACE, "a", "b", "c", "bc", "ab")
    assert early.encode("abc") == (3, 7, 6)
    assert late.encode("abc") == (3, 4, 7)


def test_a_byte_that_stands_twice_has_the_later_number() -> None:
    twice = Tokenizer([*MARKS, *BYTES, SPACE.encode(), b"o", b"n"])
    assert twice.encode("on") == (259, 260, 261)
    assert twice.decode([260, 261]) == twice.decode([3 + ord("o"), 3 + ord("n")]) == "on"


def test_a_longer_entry_that_stands_twice_keeps_its_first_number() -> None:
    assert made(SPACE, "o", "n", "on", "on").encode("on") == (3, 6)


def test_an_unknown_character_is_refused() -> None:
    with pytest.raises(ValueError, match="no token for"):
        made(SPACE, "o", "n").encode("off")


def test_marks_are_not_text_and_broken_utf8_is_replaced(shipped: Tokenizer) -> None:
    assert shipped.decode([1, *shipped.encode("both on"), 2]) == "both on"
    assert shipped.decode([]) == ""
    assert "�" in Tokenizer([*MARKS, b"\xe2\x96"]).decode([3])


@settings(deadline=None)
@given(st.lists(st.binary(max_size=300), max_size=8))
def test_a_vocabulary_is_read_as_it_was_written(entries: list[bytes]) -> None:
    everything = Tokenizer.from_bytes(packed(entries)).decode(list(range(len(entries))))
    text = b"".join(entries[FIRST_TEXT_TOKEN:]).decode("utf-8", "replace")
    assert everything == text.replace(SPACE, " ").strip()


@pytest.mark.parametrize("length", [5, 200])
def test_a_file_cut_short_anywhere_in_its_last_entry_is_refused(length: int) -> None:
    whole = packed([*MARKS, b"x" * length])
    start = len(packed(MARKS))
    for end in range(start + 1, len(whole)):
        with pytest.raises(ValueError, match="cut short"):
            Tokenizer.from_bytes(whole[:end])


def test_the_shipped_vocabulary_cut_short_is_refused() -> None:
    with pytest.raises(ValueError, match="cut short"):
        Tokenizer.from_bytes(Weights.shipped().tokens[:-1])
