"""Characters that nobody sees reach no terminal, file, page or print: class by class.

Reference: Unicode Character Database, DerivedCoreProperties.txt (Default_Ignorable_Code_Point),
general categories (UAX 44), bidirectional formatting characters (UAX 9); ECMA-48 for controls.
"""

from __future__ import annotations

import csv
import io
import json
import unicodedata
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.shared.located_yaml import parse_yaml
from callout.cli.main import app
from callout.core.conversation.view_model import ViewModel
from callout.core.debrief.shown import shown_text
from callout.core.formats.draft_yaml import quoted_yaml
from callout.core.formats.schema import checklist_from
from callout.errors import ChecklistInvalid
from callout.hidden import escape_hidden, hidden_places, is_hidden, without_hidden
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import create_journal
from callout.outlet import harmless_text, save_text
from callout.terminal.console import make_console
from callout.terminal.tables import csv_lines, draw_table, json_rows
from callout.web.hub import Hub
from tests.app.shared.test_checklist_files import GOOD
from tests.core.session_kit import Desk

CLASSES = {
    "controls": "\x00\x07\x08\x1b\x7f\x9b",
    "direction": "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
    "zero width": "\u00ad\u200b\u200c\u200d\u2060\ufeff\u180e",
    "joined or filled": "\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0\u2800",
    "variations": "\ufe00\ufe0f\U000e0100\U000e01ef\u180b",
    "tags": "\U000e0001\U000e0041\U000e007f",
    "invisible operators": "\u2061\u2062\u2063\u2064\u206a\u206f",
    "notation": "\ufff9\ufffa\ufffb\U0001bca0\U0001d173",
    "breaks": "\u2028\u2029",
    "private, unassigned": "\ue000\U000f0000\U0010fffd\U000e0fff\ufdd0\uffff",
    "surrogates": "\udfff\ud800",
}
SEEN = "aé\u05d0\u0627\u4e00\u0e01 \u00a0-\u2013\u2019\u00b0\u2713\u26a0\U0001f600e\u0301"
"""Letters of several scripts (right-to-left ones too), blanks that are seen, signs, accents."""


@pytest.fixture(params=CLASSES)
def hidden(request: pytest.FixtureRequest) -> str:
    return CLASSES[request.param]


def test_every_class_is_hidden_and_nothing_else(hidden: str) -> None:
    assert all(map(is_hidden, hidden))
    assert hidden_places(f"ab{hidden}") == list(range(2, 2 + len(hidden)))
    assert hidden_places(SEEN) == []
    assert without_hidden(f"on{hidden}", "") == "on"


def test_all_of_unicode_by_its_categories() -> None:
    for code in range(0x110000):
        category = unicodedata.category(chr(code))
        if category in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"):
            assert is_hidden(chr(code)), hex(code)
    blank = [chr(c) for c in range(0x110000) if is_hidden(chr(c)) and chr(c).isalnum()]
    assert blank == ["\u115f", "\u1160", "\u3164", "\uffa0"]


def test_a_mark_that_makes_a_symbol_a_picture_is_no_secret() -> None:
    assert hidden_places("\u26a0\ufe0f Fuel") == []
    assert hidden_places("Fu\ufe0fel") == [2]
    assert escape_hidden("\u26a0\ufe0f\ufe0f") == "\u26a0\ufe0f\\ufe0f"


def clean(text: str) -> bool:
    return not hidden_places(text.replace("\n", "").replace("\r", "").replace("\t", ""))


def test_texts_on_their_way_out(
    hidden: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Terminal, plain and drawn; text files; tables; CSV; JSON; a line of a report."""
    text = f"on{hidden}off"
    assert clean(harmless_text(text))
    assert clean(shown_text(text))
    assert "on" in shown_text(text)
    save_text(tmp_path / "report.txt", text)
    assert clean((tmp_path / "report.txt").read_text("utf-8"))
    raw = io.StringIO()
    monkeypatch.setattr("sys.stdout", raw)
    make_console().print(text)
    monkeypatch.undo()
    assert clean(raw.getvalue())
    assert clean(draw_table([text], [(text,)]))
    written = "".join(csv_lines([text], [(text,)]))
    assert clean(written)
    assert len(list(csv.reader(io.StringIO(written)))) == 2
    [line] = json_rows(["said"], [(text,)])
    assert clean(line)
    assert json.loads(line) == {"said": text}


def test_the_page_of_a_session_shows_escapes(hidden: str) -> None:
    hub = Hub()
    hub.put(view=ViewModel(title=f"A{hidden}", lines=(f"b{hidden}",)), news=(f"c{hidden}",))
    told = json.loads(hub.latest()[1])
    assert clean(told["view"]["title"])
    assert clean(told["view"]["lines"][0])
    assert clean(told["news"][0][1])


def test_lists_hold_none_and_none_is_written_into_them(hidden: str) -> None:
    for one in hidden:
        assert clean(quoted_yaml(f"Bea{one}con"))
        text = GOOD.replace("Beacon", f'"Bea\\U{ord(one):08x}con"', 1)
        try:
            held = checklist_from(parse_yaml(text, "list.yaml"), "list.yaml").items[0].challenge
        except ChecklistInvalid:
            held = ""
        assert held in ("", "Bea con"), "a break of lines is a space"


def test_journals_keep_what_was_typed_and_show_it(hidden: str, tmp_path: Path) -> None:
    records = Desk().start().say(f"off{hidden}").records
    made = create_journal(tmp_path, "x", datetime(2031, 5, 4, tzinfo=UTC), "abc123")
    made.append(records)
    made.close()
    path = Path(made.where)
    assert clean(path.read_text("utf-8"))
    assert list(read_journal(path).records) == records
    for words in (["journal"], ["replay"], ["debrief", "--plain"]):
        done = CliRunner().invoke(app, [*words, str(path)])
        assert done.exit_code == 0, done.output
        assert clean(done.output)


def test_signing_shows_none(hidden: str, tmp_path: Path) -> None:
    desk = Desk().start().say("stop").say("yes")
    made = create_journal(tmp_path, "x", datetime(2031, 5, 4, tzinfo=UTC), "abc123")
    made.append(desk.records)
    made.close()
    text = "".join(c for c in hidden if c not in "\x00\ud800\udfff")
    names = ["--by", f"Ann{text}", "--trainee", f"Bo{text}", "--remark", f"well{text}"]
    where = ["--journal-dir", str(tmp_path)]
    done = CliRunner().invoke(app, ["instructor", "sign", made.where, *names, *where])
    assert clean(done.output)
    for command in ("signed", "verify"):
        assert clean(CliRunner().invoke(app, ["instructor", command, *where]).output)
