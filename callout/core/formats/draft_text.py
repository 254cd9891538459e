"""Plain text and Markdown to a draft: one line an item, challenge and response told apart.

Understood are dotted leaders, tabs, colons, dashes, wide gaps and the cells of a Markdown table;
bullets, numbers, boxes and emphasis are taken off; headings begin sections.
"""

from __future__ import annotations

import re
from typing import Final

from callout.core.formats.draft_rows import draft_from_rows
from callout.core.formats.drafts import Draft, DraftBuilder, DraftItem

_LEADERS: Final = re.compile(
    r"\s*(?:\.{2,}|\u2026+|_{2,}|\u00b7{2,}|(?:\. ){2,}\.?|\t+)\s*"
    r"|\s{3,}|\s+[-\u2013\u2014]{1,3}>?\s+|:\s+|\s*\u2192\s*"
)
"""What stands between challenge and response, the first one found counting."""
_BULLET: Final = re.compile(r"^\s*(?:[-*+\u2022\u25a1\u2610]\s+|\[[ xX]?\]\s*|\(?\d{1,3}[.)]\s+)+")
_CRITICAL: Final = re.compile(r"\(critical\)|\[critical\]|\s!{1,3}$|^!{1,3}\s", re.IGNORECASE)
_NOTE: Final = re.compile(r"^\s*(note|caution|warning)\s*[:.\u2013-](.+)$", re.IGNORECASE)
_CALL: Final = re.compile(r"\bchecklist[\w ]{0,60} completed?$", re.IGNORECASE)
_IN_CALL: Final = re.compile(r"[\w ,'-]+")
_ALTERNATIVE: Final = re.compile(r"(?<=\s)(?:/|or)(?=\s)", re.IGNORECASE)
_TABLE_RULE: Final = re.compile(r":?-+:?")


def draft_from_text(text: str) -> Draft:
    """Return what ``text`` says; a title is its first heading or its first line."""
    lines = [line.rstrip() for line in text.replace("\r\n", "\n").split("\n")]
    table = [line for line in lines if line.lstrip().startswith("|")]
    if len(table) >= 2:
        return _from_table(lines, table)
    builder = DraftBuilder()
    for line in lines:
        _take_line(line, builder)
    return builder.draft()


def reply_alternatives(text: str) -> tuple[str, ...]:
    """Return the replies in one cell or after one challenge: "on / both on" is two."""
    parts = (clean_markdown(part) for part in _ALTERNATIVE.split(text))
    return tuple(dict.fromkeys(part for part in parts if part))


def clean_markdown(text: str) -> str:
    """Return ``text`` without Markdown emphasis, quotes around it and double spaces."""
    bare = re.sub(r"(\*\*|__|`)", "", text)
    bare = re.sub(r"(?<!\w)\*([^*]+)\*(?!\w)", r"\1", bare)
    bare = re.sub(r"(?<!\w)_([^_]+)_(?!\w)", r"\1", bare)
    return " ".join(bare.split()).strip(" \"'\u201c\u201d.;")


def as_spoken(text: str) -> str:
    """Return words in capitals as words are read: small letters, short names left alone."""
    return " ".join(map(_as_spoken, text.split())) if text.isupper() else text


def _as_spoken(word: str) -> str:
    bare = word.strip("(),.;").casefold()
    short_name = (len(bare) <= 3 and bare not in _ORDINARY) or not set(bare) & set("aeiouy")
    return word if short_name or any(c.isdigit() for c in word) else word.casefold()


_ORDINARY: Final = frozenset({
    "a", "all", "and", "arm", "as", "at", "by", "for", "gas", "in", "low", "map", "mid", "no",
    "not", "of", "off", "oil", "on", "one", "or", "out", "pin", "run", "see", "set", "six",
    "ten", "the", "tie", "tip", "to", "two", "up", "use", "yes",
})  # fmt: skip
"""Short words that are not abbreviations."""


def _take_line(line: str, builder: DraftBuilder) -> None:
    if not line.strip() or set(line.strip()) <= set("-=_*# "):
        return
    note = _NOTE.match(_BULLET.sub("", line))
    call = _completion_words(line)
    if note:
        builder.note(clean_markdown(note[2]), caution=note[1].casefold() != "note")
    elif call:
        builder.completion_call = clean_markdown(call).casefold()
    elif line.lstrip().startswith("#"):
        _take_heading(clean_markdown(line.lstrip("# ")), builder)
    else:
        _take_item(line, builder)


def _completion_words(line: str) -> str:
    """Return the words with which a list is called complete; empty when there are none."""
    words = [at for at, char in enumerate(line) if char.isalnum() or char == "_"]
    bare = line[words[0] : words[-1] + 1] if words else ""
    return bare if _CALL.search(bare) and _IN_CALL.fullmatch(bare) else ""


def _is_rule(line: str) -> bool:
    """Say whether a line of a table only divides its heading from the rest."""
    cells = line.strip().strip("|").split("|")
    return all(_TABLE_RULE.fullmatch(cell.strip()) for cell in cells)


def _take_item(line: str, builder: DraftBuilder) -> None:
    bulleted = _BULLET.match(line) is not None
    critical = _CRITICAL.search(line) is not None or re.search(r"\*\*.+\*\*", line) is not None
    bare = _CRITICAL.sub("", _BULLET.sub("", line)).strip()
    parts = _LEADERS.split(bare, maxsplit=1)
    challenge = clean_markdown(parts[0])
    response = clean_markdown(parts[1]) if len(parts) > 1 else ""
    if not response and not bulleted:
        _take_heading(clean_markdown(bare.rstrip(":")), builder)
        return
    if challenge:
        replies = tuple(as_spoken(reply) for reply in reply_alternatives(response))
        builder.item(DraftItem(_sentence_case(challenge), replies, critical=critical))


def _take_heading(title: str, builder: DraftBuilder) -> None:
    if not builder.title:
        builder.title = _sentence_case(re.sub(r" ?check ?list$", "", title, flags=re.IGNORECASE))
    else:
        builder.heading(_sentence_case(title))


def _sentence_case(text: str) -> str:
    """Return ``text`` in small letters with a large first one when it was all capitals."""
    bare = as_spoken(text)
    return bare[:1].upper() + bare[1:]


def _from_table(lines: list[str], table: list[str]) -> Draft:
    builder = DraftBuilder()
    for line in lines:
        if not line.lstrip().startswith("|"):
            _take_line(line, builder)
    outside = builder.draft()
    rows = [_line_cells(line) for line in table if not _is_rule(line)]
    made = draft_from_rows(rows)
    return Draft(
        outside.title or made.title, made.sections, completion_call=outside.completion_call
    )


def _line_cells(line: str) -> list[str]:
    inside = line.strip().strip("|")
    return [clean_markdown(cell.replace("\\|", "|")) for cell in re.split(r"(?<!\\)\|", inside)]
