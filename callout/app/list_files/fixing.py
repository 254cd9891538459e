"""``callout check --fix``: fixes what can be fixed without knowing the aircraft.

Whole lines are replaced, so comments, order and spacing stay as written. A change is kept only if
the file can still be read and has no new findings.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from callout.app.list_files.untabbing import first_tab, without_tabs
from callout.app.shared.checklist_files import FileKind, kind_of, read_text
from callout.app.shared.located_yaml import parse_yaml
from callout.core.formats.drafts import name_from
from callout.core.formats.schema import LIST_KEYS
from callout.core.formats.schema_items import ITEM_KEYS
from callout.core.lint.finding import ListFinding
from callout.core.model.checklist import FORMAT_VERSION
from callout.core.model.located import Listing, Node, Scalar, Table
from callout.core.model.shapes import closest_choice
from callout.core.sentences import files as sentences
from callout.errors import ChecklistInvalid
from callout.outlet import save_text


@dataclass(frozen=True, slots=True)
class Edit:
    """Lines ``first`` to ``last`` (from 1) become ``lines``; ``last`` = ``first`` - 1 inserts."""

    first: int
    last: int
    lines: tuple[str, ...]
    what: str
    """What was done, for the person."""


@dataclass(frozen=True, slots=True)
class _Source:
    lines: tuple[str, ...]
    top: Table
    findings: tuple[ListFinding, ...]


Fixer = Callable[[_Source], Iterator[Edit]]
Recheck = Callable[[Path], tuple[ListFinding, ...]]


def fix_file(path: Path, recheck: Recheck) -> list[str]:
    """Fix what is mechanical in the list at ``path``; return one line per change.

    recheck: returns the findings in the file as it is on disk.
    """
    done: list[str] = []
    for _ in range(_ROUNDS):
        text = read_text(path)
        _refuse_odd_lines(path, text)
        before = recheck(path)
        edit = next(iter(_propose_edits(text, str(path), before)), None)
        if edit is None:
            break
        _replace_text(path, _apply_edit(text, edit))
        if _is_worse(recheck(path), before):
            _replace_text(path, text)
            break
        done.append(f"{path}, line {edit.first}: {edit.what}")
    return done


def _refuse_odd_lines(path: Path, text: str) -> None:
    """Whole lines are replaced, so both readers must agree on what a line is."""
    if len(text.splitlines() or [""]) != len(text.removesuffix("\n").split("\n")):
        said = sentences.unusual_line_endings(path)
        raise ChecklistInvalid(said, sentences.LINE_ENDINGS_HINT)


_ROUNDS = 200
"""One change per round; no list needs more."""


def _is_worse(after: tuple[ListFinding, ...], before: tuple[ListFinding, ...]) -> bool:
    known = {(f.rule, f.message) for f in before}
    unreadable = any(f.rule in ("format", "file") for f in before)
    return len(after) >= len(before) and (
        not unreadable or {(f.rule, f.message) for f in after} <= known
    )


def _propose_edits(text: str, file: str, findings: tuple[ListFinding, ...]) -> Iterator[Edit]:
    lines = tuple(text.replace("\r\n", "\n").split("\n"))
    first = first_tab(lines)
    if first:
        spaced = without_tabs(lines, file)
        if spaced:
            what = "indented with spaces instead of tabs"
            yield Edit(first, len(lines), spaced[first - 1 :], what)
        return
    try:
        top = parse_yaml(text, file)
    except ChecklistInvalid:
        return
    if isinstance(top, Table) and kind_of(top) is FileKind.CHECKLIST:
        source = _Source(lines, top, findings)
        for fixer in _FIXERS:
            yield from fixer(source)


def _misspelt_keys(source: _Source) -> Iterator[Edit]:
    tables = [
        (source.top, tuple(LIST_KEYS)),
        *((i, tuple(ITEM_KEYS)) for i in _item_tables(source.top)),
    ]
    for table, known in tables:
        written = [key for key, _ in table.entries]
        for key in written:
            meant = "" if key.text in known else closest_choice(key.text, known)
            if meant and all(other.text != meant for other in written):
                line = source.lines[key.line - 1]
                new = re.sub(rf"\b{re.escape(key.text)}(?=\s*:)", meant, line, count=1)
                if new != line:
                    yield Edit(key.line, key.line, (new,), f'"{key.text}" is now "{meant}"')


def _missing_version(source: _Source) -> Iterator[Edit]:
    if source.top.get("callout") is None:
        line = source.top.line
        yield Edit(line, line - 1, (f"callout: {FORMAT_VERSION}",), "the format version is given")


def _missing_list_id(source: _Source) -> Iterator[Edit]:
    title = source.top.get("title")
    if source.top.get("id") is None and isinstance(title, Scalar) and title.text:
        name = name_from(title.text, set())
        line = title.line
        yield Edit(line, line - 1, (f"id: {name}",), f'the list has the id "{name}"')


def _missing_call(source: _Source) -> Iterator[Edit]:
    title = source.top.get("title")
    if source.top.get("complete") is None and isinstance(title, Scalar) and title.text:
        line = title.line + 1
        call = f"complete: {_completion_call(title.text)}"
        yield Edit(line, line - 1, (call,), "the completion call is given")


def _unclear_call(source: _Source) -> Iterator[Edit]:
    title, call = source.top.get("title"), source.top.get("complete")
    if any(f.rule == "completion-call" for f in source.findings) and isinstance(call, Scalar):
        name = title.text if isinstance(title, Scalar) else "this"
        new = f"complete: {_completion_call(name)}"
        yield Edit(call.line, call.line, (new,), "the completion call names the list")


def _missing_ids(source: _Source) -> Iterator[Edit]:
    used = {i.text for item in _item_tables(source.top) if isinstance(i := item.get("id"), Scalar)}
    for item in _item_tables(source.top):
        challenge = item.get("challenge")
        line = source.lines[item.line - 1]
        dash = re.match(r"(\s*)- (?=\w)", line)
        if item.get("id") is None and isinstance(challenge, Scalar) and dash:
            name = name_from(challenge.text, used)
            rest = f"{dash[1]}  {line[dash.end() :]}"
            lines = (f"{dash[1]}- id: {name}", rest)
            yield Edit(item.line, item.line, lines, f'the item has the id "{name}"')
            used.add(name)


def _needless_lines(source: _Source) -> Iterator[Edit]:
    for finding in source.findings:
        item = _item_table(source.top, finding.item_id)
        table = item or source.top
        if finding.rule == "bare-allowed" and item:
            yield from _without_key(item, "actual_status", source, "a bare status no longer does")
        elif finding.rule == "always-applies" and item:
            yield from _without_key(item, "when", source, "the condition that says nothing is gone")
        elif finding.rule == "needless-allowance":
            yield from _without_allowance(table, finding, source)


def _without_key(table: Table, key: str, source: _Source, what: str) -> Iterator[Edit]:
    node = table.get(key)
    if isinstance(node, Scalar):
        line = source.lines[node.line - 1]
        if re.fullmatch(rf"\s+{key}\s*:.*", line):
            yield Edit(node.line, node.line, (), what)


def _without_allowance(table: Table, finding: ListFinding, source: _Source) -> Iterator[Edit]:
    allowed = table.get("allow")
    if not isinstance(allowed, Table):
        return
    for key, node in allowed.entries:
        line = source.lines[key.line - 1]
        whole = re.fullmatch(rf"\s+{re.escape(key.text)}\s*:.*", line) is not None
        if f'"{key.text}"' in finding.message and whole and isinstance(node, Scalar):
            first = key.line - 1 if len(allowed.entries) == 1 else key.line
            yield Edit(first, key.line, (), f'the needless allowance "{key.text}" is gone')


_FIXERS: tuple[Fixer, ...] = (
    _misspelt_keys,
    _missing_version,
    _missing_list_id,
    _missing_call,
    _unclear_call,
    _missing_ids,
    _needless_lines,
)


def _item_tables(top: Table) -> list[Table]:
    groups: list[Node] = [top]
    sections = top.get("sections")
    if isinstance(sections, Listing):
        groups += sections.entries
    listings = (g.get("items") for g in groups if isinstance(g, Table))
    entries = (e for one in listings if isinstance(one, Listing) for e in one.entries)
    return [entry for entry in entries if isinstance(entry, Table)]


def _item_table(top: Table, item_id: str) -> Table | None:
    for item in _item_tables(top):
        if isinstance(node := item.get("id"), Scalar) and node.text == item_id and item_id:
            return item
    return None


def _completion_call(title: str) -> str:
    return f"{title.casefold()} checklist complete"


def _apply_edit(text: str, edit: Edit) -> str:
    newline = "\r\n" if "\r\n" in text else "\n"
    lines = text.replace("\r\n", "\n").split("\n")
    lines[edit.first - 1 : edit.last] = edit.lines
    return newline.join(lines)


def _replace_text(path: Path, text: str) -> None:
    save_text(path, text, as_it_is=True)
