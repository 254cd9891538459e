"""How the network may write a spoken phrase: digits for number words, capitals."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import islice, product

DIGITS = {
    "zero": "0", "oh": "0", "one": "1", "two": "2", "three": "3", "tree": "3", "four": "4",
    "fower": "4", "five": "5", "fife": "5", "six": "6", "seven": "7", "eight": "8", "ait": "8",
    "nine": "9", "niner": "9",
}  # fmt: skip
TEENS = {
    "ten": "10", "eleven": "11", "twelve": "12", "thirteen": "13", "fourteen": "14",
    "fifteen": "15", "sixteen": "16", "seventeen": "17", "eighteen": "18", "nineteen": "19",
}  # fmt: skip
TENS = {
    "twenty": "2", "thirty": "3", "forty": "4", "fifty": "5", "sixty": "6", "seventy": "7",
    "eighty": "8", "ninety": "9",
}  # fmt: skip
POINTS = {"point", "decimal", "dayseemal"}
SCALES = {"hundred": 100, "thousand": 1000}
NAMES = {"celsius", "fahrenheit", "mach"}
_LETTERS = re.compile(r"\b[a-z](?: [a-z]\b)+")
MOST = 8
"""Written variants kept for one spoken form."""


def written_variants(form: str) -> tuple[str, ...]:
    """Return the ways the network may write ``form`` (lower-case words), likeliest first.

    "flaps five" gives "Flaps five", "flaps five", "Flaps 5", "flaps 5"; a run of digits is written
    both joined and separate.
    """
    texts = [form, *_with_digits(form.split())]
    texts += [other for text in texts if (other := _as_names(text)) != text]
    out: list[str] = []
    for text in texts:
        for cased in (text[:1].upper() + text[1:], text):
            if cased not in out:
                out.append(cased)
    return tuple(out[: 2 * MOST])


def _as_names(text: str) -> str:
    """Return ``text`` with spelled letters joined and names in capitals ("rpm", "QNH")."""
    joined = _LETTERS.sub(lambda found: found[0].replace(" ", "").upper(), text)
    return " ".join(w.capitalize() if w in NAMES else w for w in joined.split(" "))


def _with_digits(words: list[str]) -> list[str]:
    choices: list[list[str]] = []
    at = 0
    while at < len(words):
        end = at
        while end < len(words) and _is_numeric(words, end):
            end += 1
        if end > at:
            choices.append(_written_number(words[at:end]))
            at = end
        else:
            choices.append([words[at]])
            at += 1
    if all(len(c) == 1 and c[0] == w for c, w in zip(choices, words, strict=False)):
        return []
    return [" ".join(parts) for parts in islice(product(*choices), MOST)]


def _is_numeric(words: list[str], at: int) -> bool:
    word = words[at]
    if _is_figure(word):
        return True
    inside = at > 0 and _is_numeric(words, at - 1)
    return inside and (word in SCALES or (word in POINTS and _is_first_point(words, at)))


def _is_first_point(words: list[str], at: int) -> bool:
    """Return True for the first point of a number with figures after it."""
    following = words[at + 1] if at + 1 < len(words) else ""
    start = at
    while start > 0 and _is_figure(words[start - 1]):
        start -= 1
    again = start > 0 and words[start - 1] in POINTS
    return _is_figure(following) and not again


def _is_figure(word: str) -> bool:
    return word in DIGITS or word in TEENS or word in TENS


def _written_number(words: list[str]) -> list[str]:
    if any(w in SCALES for w in words):
        return _scaled_forms(words)
    whole, point, fraction = _split_number(words)
    groups, tail = _digit_groups(whole), _digit_groups(fraction)
    if point:
        return ["".join(groups) + "." + "".join(tail), " ".join(groups) + " point " + "".join(tail)]
    joined, apart = "".join(groups), " ".join(groups)
    out = [joined, apart]
    if len(joined) == 4 and len(groups) != 4:
        out += [f"{joined[:2]}.{joined[2:]}", f"{joined[:2]} {joined[2:]}"]
    if len(joined) == 4:
        out.append(f"{joined[0]},{joined[1:]}")
    return list(dict.fromkeys(out))


def _split_number(words: list[str]) -> tuple[list[str], bool, list[str]]:
    for i, word in enumerate(words):
        if word in POINTS:
            return words[:i], True, words[i + 1 :]
    return words, False, []


def _digit_groups(words: list[str]) -> list[str]:
    groups: list[str] = []
    at = 0
    while at < len(words):
        word = words[at]
        following = words[at + 1] if at + 1 < len(words) else ""
        if word in TENS and DIGITS.get(following, "0") != "0":
            groups.append(TENS[word] + DIGITS[following])
            at += 2
            continue
        groups.append(DIGITS.get(word) or TEENS.get(word) or TENS.get(word, "") + "0")
        at += 1
    return groups


def _scaled_forms(words: list[str]) -> list[str]:
    if any(w in POINTS for w in words):
        return _pointed_forms(words)
    total = 0
    part: list[str] = []
    for word in words:
        if word in SCALES:
            said = int("".join(_digit_groups(part))) if part else int(not total)
            # "two hundred fifty thousand": everything before counts in thousands
            total = total * SCALES[word] if word == "thousand" else total
            total += said * SCALES[word]
            part = []
        else:
            part.append(word)
    total += int("".join(_digit_groups(part))) if part else 0
    return _plain_and_grouped(total)


def _pointed_forms(words: list[str]) -> list[str]:
    """Return the ways to write "one point five thousand"; words only if it contains a scale."""
    number, scale = words[:-1], SCALES.get(words[-1])
    if scale is None or any(w in SCALES for w in number):
        return [" ".join(words)]
    whole, _, fraction = _split_number(number)
    digits = "".join(_digit_groups(fraction))
    value = Decimal(f"{''.join(_digit_groups(whole))}.{digits}") * scale
    texts = [f"{''.join(_digit_groups(whole))}.{digits} {words[-1]}"]
    return [*texts, *_plain_and_grouped(int(value))] if value == int(value) else texts


def _plain_and_grouped(number: int) -> list[str]:
    return [str(number), f"{number:,}"] if number >= 1000 else [str(number)]
