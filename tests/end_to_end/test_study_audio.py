"""A stage of a flow, memory items and a way through questions, on speech made at test time.

The speech goes through voice activity, recogniser, judge, session and journal as from a microphone.
What is said wrong on purpose must never count; what is right must count in the end.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.bench.fixtures import write_wav
from callout.bench.synth import installed_voices, synthesise
from callout.core.checklist_run import records as r
from callout.core.conversation.records import JournalRecord
from callout.core.model.verdict import Verdict
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.test_scripted import callout

pytestmark = pytest.mark.audio
FLOW = """\
callout: 1
id: tidy-up
title: Tidy up
phase: after-landing
method: flow-then-verify
complete: tidy up checklist complete
flow:
  - panel: Pedestal
    do:
      - {control: Cowl flaps, position: open, why: The engine cools.}
      - {control: Flap lever, position: up}
  - panel: Radio stack
    do:
      - {control: Transponder, position: standby}
items:
  - {id: lights, challenge: Landing lights, response: off, wrong: on}
"""
DRILL = """\
callout: 1
id: generator
title: Generator
phase: non-normal
method: read-and-do
complete: generator checklist complete
ends:
  recovered: generator checklist complete, recovered
  lost: generator checklist complete, lost
sections:
  - title: From memory
    items:
      - {id: reset, challenge: Generator switch, response: off, wrong: on, memory: yes}
      - {id: load, challenge: Cabin heater, response: off, wrong: on, memory: yes}
      - id: result
        challenge: Ammeter
        leads:
          - {reply: charging, to: recovered}
          - {reply: discharging, to: shed}
  - id: shed
    title: On the battery
    then: lost
    items:
      - {id: lights, challenge: Cabin lights, response: off, wrong: on}
"""


CLEAR = "espeak:en-gb"
"""The usual voice swallows "flap lever up", and is asked again."""


def recordings(folder: Path, *said: str, voice: str) -> list[str]:
    """Return options that play each of these, spoken by one voice."""
    if voice not in installed_voices():
        pytest.skip(f"the voice {voice} is not installed")
    words = []
    for number, text in enumerate(said):
        path = folder / f"{number:02}.wav"
        write_wav(path, synthesise(text, voice))
        words += ["--replies", str(path)]
    return words


def flown(
    folder: Path, written: str, said: tuple[str, ...], *more: str, voice: str = "espeak:en-us"
) -> list[JournalRecord]:
    path, journals = folder / "list.yaml", folder / "journals"
    path.write_text(written)
    settings = folder / "settings.toml"
    settings.write_text("[pacing]\nsilence = 0\n")
    words = [
        "run",
        str(path),
        *recordings(folder, *said, voice=voice),
        "--silent",
        "--engine",
        "embedded",
    ]
    done = callout(*words, "--journal-dir", str(journals), *more, CALLOUT_SETTINGS=str(settings))
    assert done.returncode == 0, done.stderr
    (journal,) = journals.glob("*.jsonl")
    return list(read_journal(journal).records)


def test_controls_are_recalled_by_voice_and_a_wrong_position_never_counts(tmp_path: Path) -> None:
    said = ("cowl flaps closed", "cowl flaps open", "flap lever up", "transponder standby", "off")
    records = flown(tmp_path, FLOW, said, "--stage", "3", voice=CLEAR)
    recalled = [x for x in records if isinstance(x, r.ControlRecalled)]
    assert recalled[0].verdict is not Verdict.MATCH
    right = [x.control for x in recalled if x.verdict is Verdict.MATCH]
    assert right == ["Cowl flaps", "Flap lever", "Transponder"]
    assert not any(x.told for x in recalled)
    assert any(isinstance(x, r.FlowWorked) for x in records)


def test_memory_items_and_the_way_through_a_question_by_voice(tmp_path: Path) -> None:
    said = (
        "generator switch on",
        "generator switch off",
        "cabin heater off",
        "discharging",
        "off",
    )
    records = flown(tmp_path, DRILL, said)
    recited = [x for x in records if isinstance(x, r.Recited)]
    assert recited[0].verdict is not Verdict.MATCH
    assert [x.item_id for x in recited if x.verdict is Verdict.MATCH] == ["reset", "load"]
    led = [x for x in records if isinstance(x, r.Led)]
    assert [(x.item_id, x.to) for x in led] == [("result", "lights")]
    ended = [x for x in records if isinstance(x, r.Ended)]
    assert [x.call.casefold() for x in ended] == ["generator checklist complete, lost."]
