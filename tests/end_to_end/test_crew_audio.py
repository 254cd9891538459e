"""Sessions of invented crews on real audio, against journals known to be right.

The recordings go through voice activity, recogniser, judge, session and journal as from a
microphone. What the recogniser writes in detail may change with it; what came of it may not.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.data.make_crew_audio import file_of
from tests.end_to_end.crew_sessions import FLIGHT, LISTS, SESSIONS, CrewSession
from tests.end_to_end.study_sessions import STUDY, STUDY_SESSIONS
from tests.end_to_end.test_scripted import GOLDEN, callout

KEPT = (
    "type", "item_id", "why", "round", "verdict", "reply", "command", "question", "choice", "fact",
    "state", "ending", "panel", "told", "list_id", "moment", "warned", "passed_over", "open_items",
    "skipped", "condition", "facts", "once", "not_completed", "control", "mode", "passed", "to",
    "call",
)  # fmt: skip


def told(path: Path) -> list[str]:
    """Return what came of each record, with the phrase understood."""
    lines = []
    for line in path.read_text().splitlines():
        fields = json.loads(line)
        kept = {key: fields[key] for key in KEPT if key in fields}
        if heard := fields.get("utterance"):
            kept["heard"] = heard.get("text", "") if heard.get("sure", True) else "(not sure)"
        lines.append(json.dumps(kept))
    return lines


def journals_of(folder: Path) -> str:
    """Return the flight's journal, if there is one, then its lists' in order."""
    own = sorted((folder / "flights").glob("*.jsonl"))
    lists = sorted(folder.glob("*.jsonl"), key=lambda path: path.stem[-2:] if own else path.stem)
    return "\n".join(line for path in (*own, *lists) for line in told(path)) + "\n"


@pytest.mark.audio
@pytest.mark.parametrize("session", [*SESSIONS, *STUDY_SESSIONS], ids=lambda session: session.name)
def test_a_crew_on_real_audio_leaves_the_golden_journals(
    session: CrewSession, tmp_path: Path
) -> None:
    lists, study, journals = (tmp_path / name for name in ("aircraft", "study", "journals"))
    for folder, texts in ((lists, LISTS | {"flight": FLIGHT}), (study, STUDY)):
        folder.mkdir()
        for name, text in texts.items():
            (folder / f"{name}.yaml").write_text(text.lstrip())
    words = [w.replace("FOLDER", str(lists)).replace("STUDY", str(study)) for w in session.command]
    for seat, said in session.said:
        words += ["--replies", str(file_of(seat, said))]
    settings = tmp_path / "settings.toml"
    settings.write_text("[pacing]\nsilence = 0\n")  # a busy machine may compute for longer
    words += ["--silent", "--engine", "embedded", "--journal-dir", str(journals)]
    done = callout(*words, CALLOUT_SETTINGS=str(settings))
    assert done.returncode == 0, done.stderr
    golden = GOLDEN / f"{session.name}.jsonl"
    if os.environ.get("CALLOUT_WRITE_GOLDEN"):
        golden.write_text(journals_of(journals))
    assert journals_of(journals) == golden.read_text(), done.stdout
    assert " complete" in done.stdout
