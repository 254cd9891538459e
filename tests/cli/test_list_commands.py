"""``callout show``, ``list`` and ``check`` as a person runs them."""

from __future__ import annotations

import json
import os
import pty
import select
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from callout.cli.main import SAFETY, app
from callout.errors import CalloutError

SHIPPED = Path(__file__).parents[2] / "checklists"
TWIN = SHIPPED / "sandling-two"
OVERLAY = TWIN / "overlays" / "before-start-harrow-fen.yaml"


def callout(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def text_of(*words: str | Path) -> str:
    result = callout(*words)
    assert result.exit_code == 0, result.output
    assert SAFETY in result.output
    return result.output


def test_show_prints_every_item_with_its_values() -> None:
    text = text_of("show", TWIN / "before-start.yaml")
    assert "12. Beacon: on [critical]" in text
    assert "Altimeters: 1018 hPa [critical]" in text
    assert "Completion call: before start checklist complete" in text
    assert "yaml:" not in text, "origins only when asked for"


def test_show_without_flight_data_keeps_the_braces(tmp_path: Path) -> None:
    alone = tmp_path / "list.yaml"
    alone.write_bytes((TWIN / "before-start.yaml").read_bytes())
    assert "Altimeters: {qnh}" in text_of("show", alone)


def test_show_merges_an_overlay_and_says_where_lines_come_from() -> None:
    text = text_of("show", TWIN / "before-start.yaml", "--overlay", OVERLAY)
    lines = [line.strip() for line in text.splitlines()]
    vests = lines.index("4. Life jackets: worn / all worn")
    assert any(
        "overlays/before-start-harrow-fen.yaml:" in line for line in lines[vests : vests + 7]
    )
    assert sum(line.startswith("from ") for line in lines) == 13
    assert sum(line.startswith(("added", "moved", "reworded", "tightened")) for line in lines) == 4


def test_show_prints_a_flow() -> None:
    text = text_of("show", TWIN / "cockpit-preparation.yaml")
    assert "Flow, Floor: Control lock removed; Parking brake on" in text


@pytest.mark.parametrize("command", ["show", "check"])
def test_a_broken_file_gives_exit_code_2(tmp_path: Path, command: str) -> None:
    path = tmp_path / "list.yaml"
    good = (TWIN / "taxi.yaml").read_text(encoding="utf-8")
    path.write_text(good.replace("title:", "tittle:"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "callout", command, str(path)], capture_output=True, text=True
    )
    assert done.returncode == 2
    assert 'line 3: "tittle" is not a key of a checklist' in done.stdout + done.stderr
    assert 'Did you mean "title"?' in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


def terminal_output(columns: int, *words: str | Path) -> str:
    """Run the command on a pseudo-terminal of ``columns`` and return what it drew."""
    ours, theirs = pty.openpty()
    env = {**os.environ, "COLUMNS": str(columns), "TERM": "xterm-256color"}
    child = subprocess.Popen(
        [sys.executable, "-m", "callout", *map(str, words)], stdout=theirs, stderr=theirs, env=env
    )
    os.close(theirs)
    drawn = b""
    try:
        while select.select([ours], [], [], 30)[0]:
            block = os.read(ours, 65536)
            if not block:
                break
            drawn += block
    except OSError:
        pass  # the other side is closed: everything has been read
    finally:
        os.close(ours)
    assert child.wait(30) == 0
    return drawn.decode()


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
@pytest.mark.parametrize("columns", [40, 80, 132])
def test_show_fits_the_terminal(columns: int) -> None:
    from rich.text import Text

    drawn = terminal_output(columns, "show", TWIN / "before-start.yaml")
    lines = [Text.from_ansi(line).plain for line in drawn.splitlines()]
    long = [line for line in lines if len(line) > columns and SAFETY not in line]
    assert not long
    assert any("Beacon" in line for line in lines)
    assert sum("critical" in line for line in lines) >= 5, "marked by a word, not by colour"


def test_list_is_in_flight_order_under_the_aircraft() -> None:
    text = text_of("list", SHIPPED)
    assert "Sandling Two (invented light piston twin)" in text
    order = [text.index(f"  {title} ") for title in ("Before start", "Taxi", "Line-up", "Securing")]
    assert order == sorted(order)
    assert "Overlay on before-start: Harrow Fen Flying Group" in text


def test_list_by_phase() -> None:
    text = text_of("list", SHIPPED, "--phase", "taxi")
    assert "taxi.yaml" in text
    assert "before-start.yaml" not in text


def test_list_names_what_it_left_out(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("callout: 9\n")
    result = callout("list", tmp_path)
    assert result.exit_code == 0
    assert "There are no lists in" in result.output
    assert "skipped:" in result.output
    assert "bad.yaml, line 1" in result.output


def test_list_shows_what_came_with_the_program_where_there_is_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert "Before start" in text_of("list")
    (tmp_path / "mine.yaml").write_text((TWIN / "taxi.yaml").read_text())
    text = text_of("list")
    assert "mine.yaml" in text
    assert "Before start" not in text


def test_list_of_a_missing_folder() -> None:
    result = callout("list", "/no/such/folder")
    assert isinstance(result.exception, CalloutError)
    assert result.exception.exit_code == 2


def test_everything_shipped_passes_without_a_warning() -> None:
    result = callout("check", SHIPPED)
    assert result.exit_code == 0, result.output
    assert result.output.splitlines()[-1].endswith("0 errors, 0 warnings")
    assert f"{TWIN / 'before-start.yaml'}: 12 items, ok" in result.output


def report_on(folder: Path) -> list[dict[str, object]]:
    result = callout("check", "--json", folder)
    found = [
        finding for line in result.output.splitlines() for finding in json.loads(line)["findings"]
    ]
    assert (result.exit_code == 2) == any(f["severity"] == "error" for f in found)
    return found


HEAD = "callout: 1\nid: {0}\ntitle: {0}\nphase: taxi\nmethod: read-and-do\ncomplete: {0} complete\n"
ITEM = "items:\n  - id: a\n    challenge: A\n    response: {0}\n"


@pytest.mark.parametrize(
    ("more", "rule", "says"),
    [
        (ITEM.format("on") + "    when: nigth\n", "unknown-fact", 'no fact "nigth"'),
        (ITEM.format("'{qhn}'"), "value-missing", 'no quantity "qhn"'),
        (ITEM.format("{value: qnh, unit: kg}"), "value", "cannot be converted to kg"),
        (ITEM.format("on") + "follows: tug\n", "follows", 'follows "tug"'),
        (ITEM.format("''"), "format", "is empty"),
    ],
)
def test_check_finds(tmp_path: Path, more: str, rule: str, says: str) -> None:
    (tmp_path / "flight.yaml").write_text(
        "callout: 1\nfacts: {night: no}\nquantities: {qnh: 1013 hPa}\n"
    )
    (tmp_path / "list.yaml").write_text(HEAD.format("one") + more)
    (tmp_path / "other.yaml").write_text(HEAD.format("tugs") + ITEM.format("on"))
    findings = report_on(tmp_path)
    assert [finding["rule"] for finding in findings] == [rule]
    assert says in str(findings[0]["message"])
    assert findings[0]["hint"]


def test_check_finds_what_an_overlay_breaks(tmp_path: Path) -> None:
    (tmp_path / "list.yaml").write_text(HEAD.format("one") + ITEM.format("on"))
    overlay = "callout: 1\noverlay: {0}\ntitle: O\nchanges:\n  - {{reword: a, response: {1}}}\n"
    (tmp_path / "over.yaml").write_text(overlay.format("one", "off"))
    assert [(f["rule"], f["line"]) for f in report_on(tmp_path)] == [("overlay", 5)]
    (tmp_path / "over.yaml").write_text(overlay.format("two", "on"))
    assert [f["rule"] for f in report_on(tmp_path)] == ["overlay-base"]


def test_check_prints_the_schema() -> None:
    result = callout("check", "--print-schema", "flight")
    jsonschema.Draft202012Validator.check_schema(json.loads(result.output))


def test_check_says_what_to_do_in_words(tmp_path: Path) -> None:
    (tmp_path / "over.yaml").write_text(
        "callout: 1\noverlay: x\ntitle: O\nchanges:\n  - {remove: beacon}\n"
    )
    (tmp_path / "list.yaml").write_text(HEAD.format("x") + ITEM.format("on"))
    result = callout("check", tmp_path)
    assert result.exit_code == 2
    assert 'line 5: an overlay cannot remove the item "beacon"' in result.output
    assert "    Keep the item" in result.output
    assert result.output.splitlines()[-1] == "2 files, 1 error, 0 warnings"


def test_check_of_one_file_is_one_line() -> None:
    result = callout("check", TWIN / "taxi.yaml")
    assert result.output == f"{TWIN / 'taxi.yaml'}: 5 items, ok\n"


def test_a_file_is_not_a_folder() -> None:
    result = callout("list", TWIN / "taxi.yaml")
    assert isinstance(result.exception, CalloutError)
    assert "callout show" in result.exception.hint


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
@pytest.mark.parametrize("columns", [44, 80, 160])
def test_list_fits_the_terminal(columns: int) -> None:
    from rich.text import Text

    drawn = terminal_output(columns, "list", SHIPPED / "tarnbeck-one")
    lines = [Text.from_ansi(line).plain for line in drawn.splitlines()]
    assert not [line for line in lines if len(line) > columns and SAFETY not in line]
    assert any("Before start" in line for line in lines)
    whole = str(SHIPPED / "tarnbeck-one" / "taxi.yaml")
    assert any(whole in line for line in lines) == (columns == 160)
