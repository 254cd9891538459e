"""The page's answers: every wish ends in an answer, and none of them reaches another file."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from callout.app.page.looking_back import LookingBack
from callout.app.page.opening import OpenPage, PageWish
from callout.bench.year import make_year
from callout.core.debrief.moments import moments_of
from callout.journal.jsonl_reader import read_journal
from callout.journal.sound_files import SoundFiles, kept_sounds
from callout.web.documents import Documents
from tests.web.live_kit import LIST

OUTSIDE = ("../secret.yaml", "own/../../secret.yaml", "/etc/passwd", "shipped/../x.yaml", "")


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OpenPage]:
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    monkeypatch.setenv("CALLOUT_LISTS", str(tmp_path / "lists"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    plane = tmp_path / "lists" / "my-plane"
    plane.mkdir(parents=True)
    (plane / "line-up.yaml").write_text(LIST)
    (tmp_path / "secret.yaml").write_text(LIST)
    made = OpenPage(PageWish(port=0, browser=False), tmp_path / "journals")
    yield made
    made.stage.close(60)


def ask(opened: OpenPage, what: str, **more: Any) -> dict[str, Any]:
    return opened.desk.take({"do": what, **more})


def test_ones_own_lists_come_first_and_the_shipped_ones_after(opened: OpenPage) -> None:
    groups = ask(opened, "lists")["groups"]
    assert groups[0]["key"] == "own/my-plane"
    assert groups[0]["lists"][0]["key"] == "own/my-plane/line-up.yaml"
    assert [g["own"] for g in groups] == [True, False, False, False]
    assert any(one["title"] == "Before start" for g in groups for one in g["lists"])


@pytest.mark.parametrize("key", OUTSIDE)
def test_only_what_was_found_can_be_named(opened: OpenPage, key: str) -> None:
    for what, name in (("run", "list"), ("fly", "group"), ("debrief", "session")):
        answer = ask(opened, what, **{name: key}, replies="keyboard", silent=True)
        assert answer["ok"] is False
        assert answer["said"]
    assert not opened.stage.busy


def test_a_session_is_run_kept_and_looked_back_on(opened: OpenPage, tmp_path: Path) -> None:
    """The same runner as at the terminal: the journal is there, and a debrief reads it."""
    key = "own/my-plane/line-up.yaml"
    answer = ask(opened, "run", list=key, replies="keyboard", silent=True)
    assert answer == {"ok": True}
    assert "running" in ask(opened, "run", list=key, replies="keyboard")["said"]
    opened.stage.close(60)
    assert ask(opened, "unfinished")["title"] == "Line-up checklist"
    (journal,) = (tmp_path / "journals").glob("*.jsonl")
    assert ask(opened, "sessions")["sessions"][0]["id"] == journal.stem
    assert "Line-up" in ask(opened, "debrief", session=journal.stem)["lines"][0]


def test_a_debrief_on_the_page_plays_the_kept_replies_of_its_session(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sound is in the document, which may load nothing; another session's is not."""
    folder = tmp_path / "journals"
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(folder))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    make_year(folder, seed=3, sessions=12, names=("Ada",))
    slips = {p: moments_of(read_journal(p).records) for p in sorted(folder.glob("*.jsonl"))}
    journal, other = [path for path, moments in slips.items() if moments][:2]
    steps = [step for moment in slips[journal] for step in moment.steps if step.heard]
    for at, path in ((1, journal), (2, other)):
        SoundFiles().keep(path, steps[0].heard, np.full(400, at, np.int16))
    documents = Documents()
    page = LookingBack(documents).handlers()["debrief"]({"session": journal.stem})["page"]
    shown = (documents.find(page) or b"").decode()
    assert shown.count("<audio controls") == 1
    (path,) = kept_sounds(journal).values()
    assert base64.b64encode(path.read_bytes()).decode() in shown
    (path,) = kept_sounds(other).values()
    assert base64.b64encode(path.read_bytes()).decode() not in shown


def test_nothing_to_debrief_or_to_go_on_with_is_a_sentence(opened: OpenPage) -> None:
    assert ask(opened, "unfinished")["title"] == ""
    assert ask(opened, "go-on", journal="x")["ok"] is False
    assert ask(opened, "break-off")["ok"] is False
    assert "begins" in ask(opened, "debrief", session="20260101")["said"]


def test_a_setting_is_kept_or_refused_with_a_sentence(opened: OpenPage, tmp_path: Path) -> None:
    assert ask(opened, "set", key="voice.rate", value="200")["row"]["value"] == 200
    for key, value in (("voice.rate", "9999"), ("voice.rate", "quick"), ("voice.pitch", "1")):
        answer = ask(opened, "set", key=key, value=value)
        assert answer["ok"] is False
        assert answer["said"]
    assert (tmp_path / "settings.toml").read_text() == "[voice]\nrate = 200\n"
    rows = {row["key"]: row for row in ask(opened, "settings")["rows"]}
    assert (rows["voice.rate"]["value"], rows["voice.rate"]["usual"]) == (200, 180)
    assert not any("`callout" in row["about"] for row in rows.values())


def test_a_drill_tells_what_it_would_ask_and_why(opened: OpenPage) -> None:
    told = ask(opened, "drill-picks", mode="mixed", minutes=2, group="")
    assert told["rows"]
    assert "no sessions yet" in told["notes"][0]
    own = ask(opened, "drill-picks", mode="challenge", minutes=2, group="own/my-plane")
    assert {row["title"] for row in own["rows"]} == {"Line-up checklist"}
    assert ask(opened, "drill-picks", mode="mixed", minutes=0, group="")["ok"] is False


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)
NAMES = ("list", "group", "session", "item", "words", "text", "key", "value", "journal", "hash")


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_wish_ends_in_an_answer(opened: OpenPage, data: st.DataObject) -> None:
    what = data.draw(st.sampled_from([*sorted(opened.handlers), "nothing"]))
    wish = data.draw(st.dictionaries(st.sampled_from(NAMES), ANYTHING, max_size=5))
    if what in ("end", "trends", "doctor", "try-microphone", "devices", "say", "enrol"):
        return
    answer = opened.desk.take({**wish, "do": what})
    assert isinstance(answer["ok"], bool)
    assert answer["ok"] or answer["said"]
    assert answer.get("said") != "Something went wrong inside callout.", answer
    opened.stage.close(60)


def test_a_second_start_finds_the_page_that_is_open(opened: OpenPage, tmp_path: Path) -> None:
    from callout.app.page.opening import ADDRESS, _open_already

    opened.open()
    try:
        file, port = (
            tmp_path / "journals" / ADDRESS,
            int(opened.address.split(":")[2].partition("/")[0]),
        )
        assert _open_already(file, port) == opened.address
        assert _open_already(file, port + 1) == ""
        assert file.stat().st_mode & 0o077 == 0
    finally:
        opened.close()
    assert not file.exists()


def test_closing_it_breaks_a_session_off_in_order(opened: OpenPage) -> None:
    opened.open()
    key = "own/my-plane/line-up.yaml"
    assert ask(opened, "run", list=key, replies="keyboard", silent=True)["ok"]
    opened.close()
    assert not opened.stage.busy
    assert ask(opened, "unfinished")["title"] == "Line-up checklist"
