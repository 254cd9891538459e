"""The demonstration, end to end: real recordings, real recogniser, a journal on the disk."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from callout.app.running.demo import Script, load_demo, run_demo
from callout.app.running.wishes import Wishes
from callout.app.shared.settings import Settings
from callout.core.checklist_run import records as r
from callout.core.checklist_run.records import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.summary import Summary, summarise_list
from callout.core.conversation import records as c
from callout.core.model.utterance import ReplySource
from callout.core.model.verdict import Verdict
from callout.core.state.proving import Standing
from callout.journal.jsonl_reader import read_journal
from tests.forked import run_callout

pytestmark = pytest.mark.audio


@dataclass(frozen=True, slots=True)
class Shown:
    """What a person sees, and what is kept."""

    lines: list[str]
    records: tuple[c.JournalRecord, ...]
    summary: Summary

    def replies(self, item_id: str) -> list[r.Replied]:
        return [x for x in self.records if isinstance(x, r.Replied) and x.item_id == item_id]

    def of(self, kind: type[c.JournalRecord], item_id: str) -> list[c.JournalRecord]:
        return [
            x for x in self.records if isinstance(x, kind) and getattr(x, "item_id", "") == item_id
        ]


def _demonstrated(places: pytest.TempPathFactory, *options: str) -> Shown:
    folder = places.mktemp("journals")
    command = ["demo", "--fast", "--journal-dir", folder, *options]
    done = run_callout(command, folder=places.mktemp("elsewhere"))
    assert (done.returncode, done.stderr) == (0, ""), done.stdout + done.stderr
    [journal] = (folder / "demonstrations").glob("*.jsonl")
    assert f"Journal: {journal}" in done.stdout
    records = tuple(read_journal(journal).records)
    return Shown(done.stdout.splitlines(), records, summarise_list(replay_list(records)))


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Shown:
    return _demonstrated(tmp_path_factory)


def test_with_recorded_state_what_is_said_is_held_against_what_is_set(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    shown = _demonstrated(tmp_path_factory, "--state", "sandling-two/before-start")
    found = {
        item_id: [(x.verdict, x.said, x.standing) for x in shown.replies(item_id)]
        for item_id in ("doors", "parking-brake", "fuel-selectors", "beacon")
    }
    match, mismatch, unclear = Verdict.MATCH, Verdict.MISMATCH, Verdict.UNCLEAR
    assert found == {
        "doors": [(match, None, Standing.UNWATCHED)],
        "parking-brake": [(mismatch, None, Standing.SET), (match, None, Standing.SET)],
        "fuel-selectors": [
            (unclear, None, Standing.NOT_SET),
            (mismatch, match, Standing.NOT_SET),
            (match, None, Standing.SET),
        ],
        "beacon": [(match, None, Standing.SET)],
    }
    assert "Not set. You said both on; the right fuel selector is crossfeed." in shown.lines
    assert shown.summary.ending is Ending.COMPLETED


def test_it_ends_with_the_completion_call_and_every_outcome(shown: Shown) -> None:
    summary = shown.summary
    assert summary.ending is Ending.COMPLETED
    assert summary.call.startswith("Before start checklist complete")
    assert summary.left_open == ()
    assert summary.failures == 0
    assert [line.item_id for line in summary.skipped] == ["passenger-briefing"]
    assert [line.item_id for line in summary.deferred] == ["cowl-flaps"]
    assert [line.item_id for line in summary.mismatches] == ["parking-brake", "altimeters"]
    assert [line.item_id for line in summary.unclear] == ["fuel-selectors"]
    assert summary.remarks == 1


@pytest.mark.parametrize("item_id", ["doors", "seats-harnesses", "avionics", "propellers"])
def test_right_replies_are_taken_at_once(shown: Shown, item_id: str) -> None:
    assert [x.verdict for x in shown.replies(item_id)] == [Verdict.MATCH]


def test_every_reply_came_through_the_recogniser(shown: Shown) -> None:
    replied = [x for x in shown.records if isinstance(x, r.Replied)]
    assert len(replied) == 12
    assert {(x.utterance.source, x.utterance.engine) for x in replied} == {
        (ReplySource.VOICE, "embedded")
    }


def test_off_where_on_is_due_is_named_and_asked_again(shown: Shown) -> None:
    wrong, right = shown.replies("parking-brake")
    assert (wrong.verdict, wrong.utterance.text) == (Verdict.MISMATCH, "off")
    assert '"off"' in wrong.reason
    assert right.verdict is Verdict.MATCH
    asked = shown.of(r.Challenged, "parking-brake")
    assert [getattr(x, "why", None) for x in asked] == [r.Why.NEXT, r.Why.MISMATCH]


def test_a_wrong_altimeter_setting_is_caught_at_its_digit(shown: Shown) -> None:
    wrong, right = shown.replies("altimeters")
    assert (wrong.verdict, wrong.code) == (Verdict.MISMATCH, "digit-changed")
    assert wrong.reason.lower().endswith("fourth digit: heard 3, expected 8.")
    assert (right.verdict, right.reply) == (Verdict.MATCH, "1018 hPa")


def test_a_reply_drowned_in_noise_is_unclear_and_asked_again(shown: Shown) -> None:
    drowned, clean = shown.replies("fuel-selectors")
    assert (drowned.verdict, drowned.utterance.sure) == (Verdict.UNCLEAR, False)
    assert (clean.verdict, clean.reply) == (Verdict.MATCH, "both on")
    asked = shown.of(r.Challenged, "fuel-selectors")
    assert [getattr(x, "why", None) for x in asked] == [r.Why.NEXT, r.Why.UNCLEAR]


def test_a_skip_keeps_its_reason_as_it_was_said(shown: Shown) -> None:
    [skipped] = shown.of(r.Skipped, "passenger-briefing")
    assert isinstance(skipped, r.Skipped)
    words = re.sub(r"[^a-z ]", "", skipped.reason.lower())
    assert words == "they flew with us this morning"


def test_a_deferred_item_comes_back_before_the_completion_call(shown: Shown) -> None:
    asked = [getattr(x, "why", None) for x in shown.of(r.Challenged, "cowl-flaps")]
    assert asked == [r.Why.NEXT, r.Why.RETURNED]
    last = shown.replies("cowl-flaps")[-1]
    assert last.verdict is Verdict.MATCH
    assert shown.records.index(last) > shown.records.index(shown.replies("beacon")[-1])
    assert isinstance(shown.records[-1], r.Ended)


def test_a_side_remark_is_kept_and_not_counted(shown: Shown) -> None:
    [remark] = shown.of(r.Remarked, "seats-harnesses")
    assert isinstance(remark, r.Remarked)
    assert "loading the bags" in remark.utterance.words.lower()


def test_the_screen_says_what_the_recordings_say(shown: Shown) -> None:
    said = [line.strip() for line in shown.lines if line.strip().startswith("[recording]")]
    assert len(said) == 16
    assert '[recording] "both on" (drowned in cabin noise)' in said
    challenges = [line for line in shown.lines if line.startswith("[8/12] Cowl flaps?")]
    assert len(challenges) == 2


def test_the_readme_shows_this_very_session(shown: Shown) -> None:
    readme = Path(__file__).parents[2] / "README.md"
    text = readme.read_text(encoding="utf-8")
    [transcript] = [b for b in re.findall(r"```\n(.*?)```", text, re.DOTALL) if "[recording]" in b]
    assert _timeless(transcript.splitlines()) == _timeless(shown.lines)


def _timeless(lines: list[str]) -> list[str]:
    """Leave out how long it took and where the journal is."""
    kept = [line for line in lines if not line.startswith("Journal: ")]
    return [re.sub(r"Time: .*", "", line) for line in kept]


def test_recordings_that_do_not_help_end_in_a_plain_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The list goes on only with right replies; what is missing is said, nothing waits."""
    demo = load_demo()
    demo.script.cue("propellers")
    wrong = demo.script.next()
    assert wrong is not None
    short = type(demo)(demo.plan, demo.source, Script({"doors": [wrong]}))
    summary = run_demo(
        short,
        tmp_path,
        Settings(),
        Wishes(voice=False, plain=True, engine="embedded"),
        fast=True,
        tell=lambda line: None,
        safety="Study only.",
    )
    assert summary.ending is None
    assert summary.first_time == 0
    assert "no further reply" in capsys.readouterr().out
