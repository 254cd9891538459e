"""Collects items, headings and notes in the order in which they are found."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from callout.core.authoring.asides import SEATED, condition_of, role_of, take_asides
from callout.core.authoring.guesses import NO_CHALLENGE, AskedFact, Doubt, Guess, LeftOut, Reading
from callout.core.authoring.quantities import asks_for_value, unit_end
from callout.core.authoring.responses import AS_REQUIRED, Understood, understand_response
from callout.core.authoring.seen_to import (
    is_broken,
    is_unit_alone,
    is_value_lost,
    unit_of_name,
    without_remark,
)
from callout.core.authoring.several import Beginnings
from callout.core.formats.draft_text import as_spoken, calls_complete, clean_markdown
from callout.core.formats.drafts import DraftItem
from callout.core.paper.page import Origin, Row, joined_origin, joined_text

_CRITICAL: Final = re.compile(r"\(critical\)|\[critical\]|\s!{1,3}$|^!{1,3}\s", re.IGNORECASE)
_EMPHASIS: Final = re.compile(r"\*\*.+\*\*")
_FOOTMARK: Final = re.compile(
    r"(?<=[\w)])\s?[*\u2020\u2021\u00a7]+$|^[*\u2020\u2021]+\s?(?=\w)"
    r"|(?<=\w)(?<!\bm)(?<!cm)(?<!mm)(?<!ft)\s?[\u00b9\u00b2\u00b3\u2070\u2074-\u2079]+$"
)
_COUNTED: Final = re.compile(r"(\d{1,2})[.)]?\s+(?=[^\W\d_])")
_CHECKLIST: Final = re.compile(r"(?<![\s-])[\s-]*\bcheck ?list\b\W*$", re.IGNORECASE)
_YES: Final = frozenset({"yes", "y", "x", "critical"})
_LEAST_SURE: Final = 0.80  # below this the picture reader is often wrong
_OPEN: Final = re.compile(r"[/&,+]$|\b(?:and|or|with|to|at)$", re.IGNORECASE)
_BLANK, _LETTERS = re.compile(r"_{2,}"), re.compile(r"[^\W\d_]")


def sentence_case(text: str) -> str:
    """Return ``text`` in sentence case if it was all capitals."""
    bare = as_spoken(text)
    return bare[:1].upper() + bare[1:]


class Collector:
    """Builds guesses from parts; a continuation is added to the last one."""

    def __init__(self, rivals: Mapping[str, frozenset[str]], source: str) -> None:
        self.title = ""
        self._calls: dict[str, str] = {}
        self._lists = Beginnings()
        self.may_go_on = False
        self._rivals, self._source = rivals, source
        self._section = ""
        self._counts = False
        self._condition = ""
        self._guesses: list[Guess] = []
        self._left_out: list[LeftOut] = []
        self._last: tuple[Row, dict[str, str]] | None = None

    @property
    def has_item(self) -> bool:
        """Whether there is an item that a line can continue."""
        return self._last is not None

    @property
    def last_row(self) -> Row | None:
        """The line of the last item, if a line can continue it."""
        return self._last[0] if self._last else None

    @property
    def has_title(self) -> bool:
        """Whether the list has its title."""
        return bool(self.title)

    @property
    def is_bracketed(self) -> bool:
        """Whether the last challenge has an unclosed bracket."""
        challenge = self._last[1].get("challenge", "") if self._last else ""
        return challenge.count("(") > challenge.count(")")

    @property
    def is_open(self) -> bool:
        """Whether the last response cannot be complete yet."""
        response = self._last[1].get("response", "").rstrip() if self._last else ""
        return _OPEN.search(response) is not None

    def heading(self, title: str, row: Row) -> None:
        """Take a title or the start of a section."""
        self._last, self._condition = None, ""
        bare = _CHECKLIST.sub("", title)
        shown = self._uncounted(bare or title)
        begins = self._lists.begins(shown, bare != title, row.height if row.origin.box else 0.0)
        if not self.title:
            self.title = shown
        elif begins or shown.casefold() != self._lists.title.casefold():
            self._section = shown

    def _uncounted(self, name: str) -> str:
        """Return a name without its number, where the first has one too: "1 Taxi"."""
        number = _COUNTED.match(name)
        self._counts = self._counts if self.title else bool(number and int(number[1]) == 1)
        return name[number.end() :] if number and self._counts else name

    def complete(self, call: str) -> None:
        """Take the words of the completion call."""
        self._calls[self._lists.title] = call
        self._lists.ended = True

    def is_call(self, text: str) -> bool:
        """Say whether a line calls the section, or the list, complete."""
        return calls_complete(text, (self._section, self._lists.title, self.title))

    def section_heading(self, title: str) -> None:
        """Begin a section, as a table calls it."""
        self._last, self._condition, self._section = None, "", title

    def known_item(self, guess: Guess) -> None:
        """Take an item without open questions."""
        self._guesses.append(replace(guess, section=self._section, of_list=self._lists.title))

    def condition(self, text: str, row: Row) -> None:
        """Take a line that says when the items under it apply."""
        self._last, self._condition = None, text

    def leave_out(self, row: Row, why: str) -> None:
        """Keep a line that is not part of the list, so that it can be shown."""
        self._left_out.append(LeftOut(row.origin, why))

    def item(self, row: Row, parts: Mapping[str, str], before: Row | None = None) -> None:
        """Take an item; ``before`` is the line on which its challenge began."""
        if not _LETTERS.search(parts.get("challenge", "")):
            self.leave_out(row, NO_CHALLENGE)
            return
        if before is not None:
            row = replace(row, origin=joined_origin(before.origin, row.origin))
        guess = self._made_guess(row, parts)
        if not _LETTERS.search(guess.item.challenge):
            self.leave_out(row, NO_CHALLENGE)
            return
        self._last = (row, dict(parts))
        self.may_go_on = not row.leader or not parts.get("response")
        self._guesses.append(guess)

    def add_to(self, part: str, row: Row) -> None:
        """Add a line to the last "response" or "challenge"."""
        if self._last is None:
            return
        last, parts = self._last
        parts[part] = joined_text(parts.get(part, ""), row.cells[0].text)
        joined = replace(last, origin=joined_origin(last.origin, row.origin))
        self._last = (joined, parts)
        made = self._made_guess(joined, parts)
        kept = self._guesses[-1].item
        item = replace(made.item, note=kept.note or made.item.note, caution=kept.caution)
        self._guesses[-1] = replace(made, item=item)

    def note(self, text: str, caution: bool | None, origin: Origin) -> None:
        """Add a note or caution to the last item; None continues whatever was added last."""
        if not self._guesses:
            self._left_out.append(LeftOut(origin, "before-items"))
            return
        last = self._guesses[-1]
        if caution is None:
            caution = bool(last.item.caution)
        kept = last.item.caution if caution else last.item.note
        joined = f"{kept} {text}".strip()
        item = replace(last.item, caution=joined) if caution else replace(last.item, note=joined)
        asked = (*last.doubts, Doubt.LINE) if _BLANK.search(origin.text) else last.doubts
        self._guesses[-1] = replace(last, item=item, doubts=tuple(dict.fromkeys(asked)))

    def reading(self) -> Reading:
        """Return what was collected."""
        return Reading(
            self.title,
            tuple(self._guesses),
            tuple(self._left_out),
            next(reversed(self._calls.values()), ""),
            self._source,
            tuple(self._calls.items()),
        )

    def _made_guess(self, row: Row, parts: Mapping[str, str]) -> Guess:
        raw = parts.get("response", "").strip()
        written = _CRITICAL.sub("", parts["challenge"])
        asked = take_asides(_FOOTMARK.sub("", written.rstrip(" -")), named=bool(raw))
        told = take_asides(_FOOTMARK.sub("", raw))
        challenge = sentence_case(clean_markdown(asked.text)) or clean_markdown(asked.text)
        reply, remark = without_remark(told.text or raw)
        challenge, reply = unit_of_name(challenge, reply)
        meant = self._understood(reply, challenge, told.when, row.line)
        when, facts = self._conditions(
            challenge, asked.when, "" if meant.as_required else told.when, parts.get("when", "")
        )
        who = role_of(parts.get("who", "")) or asked.who or told.who
        ranked = asked.ranked or told.ranked or _is_ranked(parts.get("who", ""))
        broken = row.is_photo and is_broken(told.text, raw, meant, challenge)
        hole = row.hole or broken or is_unit_alone(raw, meant)
        found = {
            Doubt.SEAT: ranked,
            Doubt.WHEN: bool(asked.bracket),
            Doubt.TWO_PARTS: bool(parts.get("more")),
            Doubt.HOLE: hole,
            Doubt.LINE: not hole and row.is_photo and is_value_lost(challenge, meant),
            Doubt.LETTERS: min(cell.sure for cell in row.cells) < _LEAST_SURE,
        }
        doubts = (*meant.doubts, *(doubt for doubt, is_found in found.items() if is_found))
        critical = _is_critical(row, parts)
        item = DraftItem(
            challenge,
            meant.replies,
            critical=critical,
            note=" ".join(t for t in (parts.get("note", ""), parts.get("more", ""), remark) if t),
            caution=parts.get("caution", ""),
            panel=parts.get("panel", ""),
            who=who.value if who else "",
            when=when,
            as_required=meant.as_required,
        )
        return Guess(
            item, row.origin, self._section, doubts, meant.blanks, facts, raw,
            printed=" ".join(filter(None, parts.values())), condition=self._condition,
            of_list=self._lists.title, bracket=asked.bracket,
        )  # fmt: skip

    def _understood(self, text: str, challenge: str, when: str, line: bool) -> Understood:
        if when and AS_REQUIRED.search(when):
            text = f"{text} {when}"
        led = re.fullmatch(r"_{2,}\s*(.*)", text) if line else None
        if led and led[1] and unit_end(led[1]) < len(led[1]) and not asks_for_value(challenge):
            meant = understand_response(led[1], challenge, self._rivals)
            if not meant.blanks:
                return replace(meant, doubts=(*meant.doubts, Doubt.LINE))
        return understand_response(text, challenge, self._rivals)

    def _conditions(self, challenge: str, *told: str) -> tuple[str, tuple[AskedFact, ...]]:
        found = [condition_of(text, challenge) for text in (self._condition, *told) if text]
        names = list(dict.fromkeys(name for name, _ in found))
        facts = tuple(dict.fromkeys(fact for _, asked in found for fact in asked))
        return " and ".join(names), facts


def _is_critical(row: Row, parts: Mapping[str, str]) -> bool:
    marked = _CRITICAL.search(parts["challenge"]) or _EMPHASIS.search(row.origin.text)
    return bool(marked) or parts.get("critical", "").casefold() in _YES


def _is_ranked(mark: str) -> bool:
    return mark.strip("() .").casefold() in SEATED
