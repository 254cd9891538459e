"""What one key alone cannot show: replies and items that contradict or repeat each other."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from callout.core.model.checklist import Item, Response, Section
from callout.core.model.problems import ProblemReport
from callout.core.sentences import planning as sentences

_UNSPOKEN = re.compile(r"[^\w{}.+*/%-]|(?<!\d)\.|\.(?!\d)|(?<=[^\W\d])-(?=[^\W\d])")


def plain_text(text: str) -> str:
    """Return ``text`` without case, punctuation and spacing, for comparing."""
    return " ".join(_UNSPOKEN.sub(" ", text.casefold()).split())


def check_item(item: Item, path: str, report: ProblemReport) -> None:
    """Report replies that repeat each other, or are listed as both right and wrong."""
    replies = (*item.responses, *item.also)
    accepted = _first_of_each(replies, f"{path}.response", report)
    for wrong in item.wrong:
        if _response_key(wrong.response) in accepted:
            fault = f'"{wrong.response.text}" is listed both as a response and as wrong.'
            hint = sentences.position_twice_hint(item.id)
            report.add(wrong.response.line, f"{path}.wrong", fault, hint)
    _first_of_each([wrong.response for wrong in item.wrong], f"{path}.wrong", report)


def check_list(sections: Sequence[Section], report: ProblemReport) -> None:
    """Report ids and section titles used twice, and items that are alike."""
    _check_titles(sections, report)
    ids: dict[str, Item] = {}
    challenges: dict[str, Item] = {}
    for path, item in _with_paths(sections):
        if item.id in ids:
            fault = f'the id "{item.id}" is already used {_where_first(ids[item.id], item)}.'
            report.add(item.line, f"{path}.id", fault, sentences.SAME_ID_HINT)
            continue
        ids[item.id] = item
        twin = challenges.setdefault(plain_text(item.spoken), item)
        if twin is not item and not _told_apart(twin, item):
            fault = f'"{item.spoken}" is challenged twice; the first is {_where_first(twin, item)}.'
            hint = sentences.SAME_CHALLENGE_HINT
            report.add(item.line, f"{path}.challenge", fault, hint)


def _check_titles(sections: Sequence[Section], report: ProblemReport) -> None:
    titles: dict[str, Section] = {}
    for at, section in enumerate(sections):
        first = titles.setdefault(plain_text(section.title), section)
        if first is not section:
            fault = f'there are two sections "{section.title}".'
            report.add(
                section.origin.line, f"sections[{at}].title", fault, sentences.SAME_TITLE_HINT
            )


def _with_paths(sections: Sequence[Section]) -> Iterator[tuple[str, Item]]:
    for s, section in enumerate(sections):
        inside = f"sections[{s}]." if section.title else ""
        for i, item in enumerate(section.items):
            yield f"{inside}items[{i}]", item


def _where_first(first: Item, item: Item) -> str:
    if first.origin.file == item.origin.file:
        return f"on line {first.line}"
    return f"at {first.origin}"


def _told_apart(one: Item, other: Item) -> bool:
    """Two lines may share a challenge if each has a condition of its own."""
    return bool(one.when and other.when and one.when != other.when)


def _first_of_each(responses: Sequence[Response], path: str, report: ProblemReport) -> set[str]:
    seen: set[str] = set()
    for response in responses:
        key = _response_key(response)
        if key in seen:
            report.add(
                response.line, path, f'"{response.text}" is listed twice.', sentences.DELETE_ONE
            )
        elif not re.search(r"\w", key):
            report.add(
                response.line, path, f'"{response.text}" has no word in it.', sentences.WRITE_WORDS
            )
        seen.add(key)
    return seen


def _response_key(response: Response) -> str:
    return f"{plain_text(response.text)}|{response.unit or ''}".strip("|")
