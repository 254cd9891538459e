"""Damaged and hostile journals: nothing executed, nothing lost, the others still used."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.reports.journals import read_folder
from callout.app.shared.safety import SAFETY
from callout.cli.main import app
from callout.core.checklist_run import records as r
from callout.core.conversation import records as c
from callout.journal.jsonl_reader import MAX_LINE
from callout.journal.jsonl_writer import line_of
from tests.reporting.kit import keep, rough

EVIL = "<script>alert(1)</script><img src=x onerror=alert(1)>"
FORMULA = '=HYPERLINK("http://evil.example","click")'
ESCAPE = "\x1b]0;owned\x07\x1b[2J\u202etxet"
LINK = "[click](javascript:alert(1)) | `x` ![i](http://evil.example/a.png) www.evil.example"


def _evil(text: str) -> list[c.JournalRecord]:
    """Return a session whose every free text is ``text``."""
    records = []
    for record in rough(challenge=text):
        if isinstance(record, r.Began):
            plan = replace(record.plan, title=text, completion_call=text)
            about = {"crew": text, "aircraft": text, "operator": text, "hearing": text}
            record = replace(record, plan=plan, about=about)
        elif isinstance(record, r.Replied):
            said = replace(record.utterance, text=text, transcript=text)
            record = replace(record, utterance=said, reason=text, reply=text)
        elif isinstance(record, r.Skipped):
            record = replace(record, reason=text)
        elif isinstance(record, r.Ended):
            record = replace(record, call=text)
        records.append(record)
    return records


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "flights").mkdir()
    good = rough()
    keep(tmp_path, "20310504T060000Z-before-start-000001", good)
    lines = [line_of(record) for record in good]
    damaged = {
        "0corrupt": b"".join([*lines[:3], b"\x00\xff not json\n", *lines[4:]]),
        "1torn": b"".join(lines[:5]) + lines[5][:40],
        "2future": b"".join([lines[0], lines[1].replace(b'"schema":1', b'"schema":99')]),
        "3empty": b"",
        "4gap": b"".join([*lines[:3], *lines[4:]]),
        "5list": b"[1, 2]\n",
        "6deep": b"[" * 100_000 + b"\n" + lines[0],
        "7huge": b'{"schema":1,"type":"' + b"x" * MAX_LINE + b'"}\n' + lines[0],
        "8number": lines[0].replace(b'"at":100.0', b'"at":1e999') + lines[1],
        "9zone": lines[0].replace(b'Z","at"', b'","at"'),
    }
    for name, data in damaged.items():
        (tmp_path / f"{name}.jsonl").write_bytes(data)
    (tmp_path / "a-folder.jsonl").mkdir()
    (tmp_path / "flights" / "stray.jsonl").write_bytes(b"".join(lines[:1]) + b'{"type":"x"}\n')
    return tmp_path


def _sums(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(p): hashlib.sha256(p.read_bytes()).hexdigest() for p in files}


def test_each_damaged_journal_is_named_once_and_left_alone(folder: Path) -> None:
    before = _sums(folder)
    found = read_folder(folder)
    assert {s.title for s in found.facts.sessions} == {"Before start checklist"}
    for name in ("0corrupt", "2future", "3empty", "4gap", "5list", "6deep", "7huge", "9zone",
                 "a-folder", "stray"):  # fmt: skip
        assert len([p for p in found.problems if name in p]) == 1, name
    assert all(p.count("\n") == 0 and len(p) < 400 for p in found.problems)
    future = next(p for p in found.problems if "2future" in p)
    assert "99" in future
    torn = next(p for p in found.problems if "1torn" in p)
    assert torn
    assert _sums(folder) == before


def test_reports_of_a_damaged_folder_use_the_rest(folder: Path, tmp_path: Path) -> None:
    pytest.importorskip("matplotlib")
    before = _sums(folder)
    out = tmp_path.parent / f"{tmp_path.name}-out.html"
    for command in (["debrief", "20310504T060000Z"], ["trends"]):
        done = _run(*command, "--journal-dir", str(folder), "--html", str(out))
        assert done.exit_code == 0, done.output
        assert "0corrupt" in done.stderr or command[0] == "debrief"
        out.unlink()
    assert _sums(folder) == before


def _run(*args: str) -> Result:
    return CliRunner().invoke(app, list(args))


def _written(folder: Path, text: str, what: str, form: str) -> str:
    keep(folder, "20310504T060000Z-before-start-evil01", _evil(text))
    out = folder / "out"
    option = "--json-file" if form == "json" else f"--{form}"
    done = _run(what, "--journal-dir", str(folder), option, str(out))
    assert done.exit_code == 0, (done.output, done.stderr, done.exception)
    return out.read_bytes().decode()


class _Page(HTMLParser):
    """Collects what a browser would run or load."""

    def __init__(self) -> None:
        super().__init__()
        self.wrong: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("script", "img", "iframe", "object", "embed", "link", "base", "form"):
            self.wrong.append(tag)
        for name, value in attrs:
            local = (value or "").startswith("#")
            if name.startswith("on") or (name in ("src", "href", "xlink:href") and not local):
                self.wrong.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


@pytest.mark.parametrize("what", ["debrief", "trends"])
@pytest.mark.parametrize("text", [EVIL, LINK, ESCAPE, '"><svg onload=alert(1)>', "{{ 7919*7907 }}"])
def test_a_page_runs_and_loads_nothing(tmp_path: Path, what: str, text: str) -> None:
    pytest.importorskip("matplotlib")
    page = _written(tmp_path, text, what, "html")
    parsed = _Page()
    parsed.feed(page)
    assert parsed.wrong == []
    assert "default-src 'none'" in page
    outside = set(re.findall(r"(?:https?:)?//[\w.]+", re.sub(r"data:[^)]*", "", page)))
    named = {"http://www.w3.org"}
    if "evil.example" in text:
        named.add("http://evil.example")  # as words to read; nothing links to them
    assert outside <= named
    assert "\x1b" not in page
    assert "\u202e" not in page
    assert SAFETY.split("'")[0] in page
    if text == EVIL:
        assert "<script>alert(1)</script>" in "".join(parsed.texts)
    assert str(7919 * 7907) not in page  # no template runs what a journal holds


@pytest.mark.parametrize("what", ["debrief", "trends"])
@pytest.mark.parametrize(
    "text", [FORMULA, "+1+1", "-2", "@SUM(A1)", "\t=1", " =1+1", "\u00a0=1", "\uff1d1", "|calc"]
)
def test_no_cell_begins_a_formula(tmp_path: Path, what: str, text: str) -> None:
    pytest.importorskip("scipy")
    rows = list(csv.reader(io.StringIO(_written(tmp_path, text, what, "csv"), newline="")))
    assert len({len(row) for row in rows}) == 1
    for cell in (cell for row in rows for cell in row):
        begins = cell.strip()[:1]
        number = re.fullmatch(r"-?\d+(\.\d+)?(e[-+]\d+)?", cell)
        assert number or begins not in ("=", "+", "-", "@", "|", "\uff1d"), cell
    assert any("'" in cell for row in rows for cell in row)


@pytest.mark.parametrize("what", ["debrief", "trends"])
@pytest.mark.parametrize("text", [EVIL, LINK, ESCAPE, "1. one", "# head", "- a", "a\n\n# b"])
def test_markdown_has_no_markup_of_others(tmp_path: Path, what: str, text: str) -> None:
    pytest.importorskip("scipy")
    from markdown_it import MarkdownIt

    written = _written(tmp_path, text, what, "markdown")
    tokens = MarkdownIt("commonmark").enable("table").parse(written)
    flat = [t for token in tokens for t in (token, *(token.children or ()))]
    assert not {t.type for t in flat} & {"html_block", "html_inline", "link_open", "image"}
    headings = [tokens[n + 1].content for n, t in enumerate(tokens) if t.type == "heading_open"]
    assert not [h for h in headings if h in ("head", "b")]
    assert "\x1b" not in written


@pytest.mark.parametrize("what", ["debrief", "trends"])
def test_the_terminal_gets_no_controls(tmp_path: Path, what: str) -> None:
    pytest.importorskip("scipy")
    keep(tmp_path, "20310504T060000Z-before-start-evil01", _evil(ESCAPE))
    for extra in ([], ["--plain"]):
        done = _run(what, *extra, "--journal-dir", str(tmp_path))
        assert done.exit_code == 0, done.exception
        assert "\x1b]" not in done.output
        assert "\u202e" not in done.output
        assert SAFETY[:40] in done.output


@pytest.mark.parametrize("what", ["debrief", "trends"])
def test_json_is_json_whatever_the_journal_holds(tmp_path: Path, what: str) -> None:
    pytest.importorskip("scipy")
    found = json.loads(_written(tmp_path, "\ud800 NaN \x00 </script>", what, "json"))
    assert found["safety"] == SAFETY
    assert "NaN" in json.dumps(found)
