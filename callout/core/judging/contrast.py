"""Plausible wrong replies to an answer: what a careless crew might say instead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from callout.core.language.figures import digits_of, fraction_of
from callout.core.language.tables import Tables
from callout.core.language.words import words_of
from callout.core.model.expectation import Answer, Value, Words

_SOUNDS_LIKE = {
    "0": "4", "1": "97", "2": "3", "3": "2", "4": "50", "5": "9418", "6": "37", "7": "16",
    "8": "53", "9": "51",
}  # fmt: skip
"""Digits most often confused, by sound (common practice: "five" for "nine")."""


_DIGIT_WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def misheard_digit(word: str) -> tuple[str, ...]:
    """Return the digits most often heard for a spoken digit, as words."""
    if word not in _DIGIT_WORDS:
        return ()
    alike = _SOUNDS_LIKE[str(_DIGIT_WORDS.index(word))]
    return tuple(_DIGIT_WORDS[int(digit)] for digit in alike)


def contrasting_replies(
    answer: Answer, tables: Tables, extra: Iterable[Sequence[str]] = ()
) -> tuple[str, ...]:
    """Return plausible wrong replies to ``answer``, as words.

    extra: further sets of mutually exclusive words, from a checklist.
    """
    out: list[str] = []
    for n, part in enumerate(answer.parts):
        if isinstance(part, Words):
            for changed in _changed_texts(part.text, tables, extra):
                out.append(_changed_answer(answer, n, changed))
    if not any(isinstance(p, Value) for p in answer.parts):
        text = _changed_answer(answer, -1, "")
        if not text.startswith("not "):
            out.append(f"not {text}")
    return tuple(dict.fromkeys(o for o in out if o))


def _changed_answer(answer: Answer, changed_at: int, changed: str) -> str:
    texts = [
        changed
        if n == changed_at
        else part.text.lower()
        if isinstance(part, Words)
        else str(part.number)
        for n, part in enumerate(answer.parts)
    ]
    return " ".join(texts)


def _changed_texts(text: str, tables: Tables, extra: Iterable[Sequence[str]]) -> Iterable[str]:
    said = text.lower().split()
    for i, word in enumerate(said):
        canonical = words_of(word, tables)
        key = canonical[0] if len(canonical) == 1 else word.strip(",.")
        for other in opposites_of(key, tables, extra):
            yield " ".join([*said[:i], other, *said[i + 1 :]])
        if word == "not" and len(said) > 1:
            yield " ".join([*said[:i], *said[i + 1 :]])


def opposites_of(word: str, tables: Tables, extra: Iterable[Sequence[str]] = ()) -> tuple[str, ...]:
    """Return the words that exclude ``word``, most usual first."""
    out = list(tables.opposites.get(word, ()))
    for group in extra:
        if word in group:
            out += [w for w in group if w != word]
    return tuple(dict.fromkeys(out))


def near_values(value: Value) -> tuple[Value, ...]:
    """Return values one slip away: a digit changed, two swapped, one dropped or doubled.

    Numbers in "-teen", "-ty" and the plain digit also replace each other ("three", "thirteen",
    "thirty"), and so do the last two digits of longer ones ("ten thirteen", "ten thirty"). Slips
    between similar-sounding digits come first. Values within the tolerance are left out.
    """
    digits = digits_of(value)
    places = len(fraction_of(value))
    made = dict.fromkeys((*_swapped(digits), *_alike(digits), *_teens(digits), *_doubled(digits),
                          *_dropped(digits), *_any_digit(digits)))  # fmt: skip
    out = (_with_digits(value, d, len(digits), places) for d in made if d and d != digits)
    seen: dict[tuple[Decimal, int | None], Value] = {}
    for near in out:
        if abs(near.number - value.number) > value.tolerance:
            seen.setdefault((near.number, near.digits), near)
    return tuple(seen.values())


def _with_digits(value: Value, digits: str, length: int, places: int) -> Value:
    whole = digits[: len(digits) - places] if places else digits
    fraction = digits[len(digits) - places :] if places else ""
    number = Decimal(f"{whole or '0'}.{fraction or '0'}") if places else Decimal(digits)
    changed = None if value.digits is None else value.digits + len(digits) - length
    return replace(value, number=-number if value.number < 0 else number, digits=changed)


def _swapped(digits: str) -> Iterable[str]:
    for i in range(len(digits) - 1):
        yield digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]


def _alike(digits: str) -> Iterable[str]:
    for i, digit in enumerate(digits):
        for other in _SOUNDS_LIKE[digit]:
            yield digits[:i] + other + digits[i + 1 :]


def _any_digit(digits: str) -> Iterable[str]:
    for i in range(len(digits)):
        for other in "0123456789":
            yield digits[:i] + other + digits[i + 1 :]


def _teens(digits: str) -> Iterable[str]:
    """Replaces three, thirteen and thirty by each other: only the unstressed ending differs."""
    stem = digits if len(digits) == 1 else digits.strip("0") if digits[:1] != "1" else digits[1:]
    if len(digits) <= 2 and len(stem) == 1 and stem in "3456789":
        yield from (stem, f"1{stem}", f"{stem}0")
    elif len(digits) > 2:
        yield from _other_ending(digits)


def _other_ending(digits: str) -> Iterable[str]:
    """Replace "-teen" by "-ty", or the other way round, at the end of a longer number."""
    ten, one = digits[-2], digits[-1]
    if ten == "1" and one in "3456789":
        yield f"{digits[:-2]}{one}0"
    elif one == "0" and ten in "3456789":
        yield f"{digits[:-2]}1{ten}"


def sounds_alike_at_its_end(value: Value, near: Value) -> bool:
    """Return True if only "-teen" or "-ty" tells the two apart ("ten thirteen", "ten thirty")."""
    digits = digits_of(value)
    return len(digits) > 2 and digits_of(near) in _other_ending(digits)


def _dropped(digits: str) -> Iterable[str]:
    if len(digits) > 1:
        for i in range(len(digits)):
            yield digits[:i] + digits[i + 1 :]


def _doubled(digits: str) -> Iterable[str]:
    if len(digits) > 1:
        for i in range(len(digits)):
            yield digits[: i + 1] + digits[i:]
