"""Writes a draft as the text of a list file, with comments that explain the format."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import chain, count
from typing import Final

from callout.core.formats.drafts import Draft, DraftItem, name_from, phase_of
from callout.core.model.checklist import FORMAT_VERSION, Method, Phase, Role
from callout.core.sentences import list_format as sentences
from callout.hidden import hidden_places, without_hidden

PLACEHOLDER: Final = "checked"
"""Used where the source gave no reply; the check asks for a better one."""
_PLAIN: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ()/+.'-]*")
_LONG = 9
"""Number of items above which a list is divided into sections."""

_HEAD: Final = """\
# A list for callout. Lines that begin with # are for you; the program passes over them.
# Training aid: the approved manual, the operator's procedures and the crew always rule.
"""
_ABOUT: Final = {
    "id": "never changes, even when you reword the title: records hang on it",
    "phase": "phase of flight; `callout check --print-schema checklist` lists them",
    "method": "challenge-and-response, flow-then-verify or read-and-do",
    "trigger": "what is said to call for the list",
    "complete": "the call that ends it",
}
_FIRST: Final = {
    "challenge": "read aloud; `say:` gives other words to speak than to show",
    "response": "the position or value that must be said; several in [brackets]",
    "wrong": "replies to be named as wrong",
    "critical": 'never to be missed; a bare "checked" will not do',
}
_TAIL: Final = """\
# More that an item can have (see checklists/README.md):
#     panel: Pedestal            where to look
#     who: pilot-monitoring      who answers: pilot-flying, left-seat, both, ...
#     when: night                only in this set-up; facts stand in flight.yaml
#     response: "{qnh}"          a value from flight.yaml
# Then run:  callout check THIS-FILE   and   callout show THIS-FILE
"""


def yaml_of(draft: Draft, *, teach: bool = True) -> str:
    """Return the list file of ``draft``; ``teach`` adds comments."""
    lines = [*_head_lines(draft, teach), ""]
    used: set[str] = set()
    sections = [s for s in draft.sections if s.items]
    titled = any(section.title for section in sections) or len(sections) > 1
    lines.append("sections:" if titled else "items:")
    first = True
    titles: set[str] = set()
    for section in sections:
        pad = "      " if titled else "  "
        if titled:
            title = _free_title(section.title or "Items", titles)
            lines += [f"  - title: {quoted_yaml(title)}", "    items:"]
        for item in section.items:
            lines += _item_lines(item, used, pad, teach and first)
            first = False
    text = "\n".join(lines) + "\n"
    return f"{_HEAD}{text}\n{_TAIL}" if teach else text


def _head_lines(draft: Draft, teach: bool) -> Iterator[str]:
    title = draft.title or "My list"
    phase = draft.phase or phase_of(title)
    method = draft.method or (
        Method.READ_AND_DO if phase is Phase.NON_NORMAL else Method.CHALLENGE_AND_RESPONSE
    )
    calls = draft.triggers or (f"{title.casefold()} checklist",)
    pairs = [
        ("callout", str(FORMAT_VERSION)),
        ("id", name_from(title)),
        ("title", quoted_yaml(title)),
        ("phase", phase.value),
        ("method", method.value),
        ("trigger", _listed_texts(calls)),
        (
            "complete",
            quoted_yaml(draft.completion_call or f"{title.casefold()} checklist complete"),
        ),
        ("caution", sentences.TRAINING_AID),
    ]
    for key, value in pairs:
        about = f"  # {_ABOUT[key]}" if teach and key in _ABOUT else ""
        yield f"{key}: {value}{about}"


def _item_lines(item: DraftItem, used: set[str], pad: str, teach: bool) -> Iterator[str]:
    name = (
        item.id if _is_usable(item.id) and item.id not in used else name_from(item.challenge, used)
    )
    used.add(name)
    yield f"{pad}- id: {name}"
    for key, value in _item_pairs(item):
        about = f"  # {_FIRST[key]}" if teach and key in _FIRST else ""
        yield f"{pad}  {key}: {value}{about}"
    for question in item.open_questions:
        shown = " ".join(without_hidden(question).split())
        yield f"{pad}  # ? {shown}"
    if not item.responses and not item.open_questions:
        yield sentences.respond_with_what_you_see(pad)


def _item_pairs(item: DraftItem) -> Iterator[tuple[str, str]]:
    yield "challenge", quoted_yaml(item.challenge)
    yield "response", _listed_texts(item.responses or (_placeholder(item),))
    if item.wrong:
        yield "wrong", _listed_texts(item.wrong)
    if item.critical:
        yield "critical", "yes"
    if item.as_required and item.responses:
        yield "as_required", "yes"
    roles = {role.value for role in Role}
    if item.who in roles:
        yield "who", item.who
    if item.when:
        yield "when", quoted_yaml(item.when)
    for key, value in (("caution", item.caution), ("note", item.note), ("panel", item.panel)):
        if value:
            yield key, quoted_yaml(value)


def _placeholder(item: DraftItem) -> str:
    return "as required" if item.as_required else PLACEHOLDER


def _listed_texts(texts: Iterable[str]) -> str:
    made = [quoted_yaml(text) for text in texts]
    return made[0] if len(made) == 1 else f"[{', '.join(made)}]"


def quoted_yaml(text: str) -> str:
    """Return ``text`` as a YAML value: plain if every reader takes it for the same words.

    Invisible characters, which a list may not hold, become spaces.
    """
    if hidden_places(text):
        text = " ".join(without_hidden(text).split()) or "(unreadable)"
    if _PLAIN.fullmatch(text) and not text.endswith(" "):
        return text
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _free_title(title: str, used: set[str]) -> str:
    names = chain([title], (f"{title} {n}" for n in count(2)))
    free = next(name for name in names if name.casefold() not in used)
    used.add(free.casefold())
    return free


def _is_usable(name: str) -> bool:
    return re.fullmatch(r"[a-z][a-z0-9-]{0,59}", name) is not None
