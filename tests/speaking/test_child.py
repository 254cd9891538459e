"""The child process behind the voice: replies, hangs, deaths."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest

from callout.speaking.child import LATE, SoundChild
from tests.speaking.children import BABBLES, CANNOT, DIES, HANGS, SPEAKS, child

ASK = {"do": "say", "text": "gr\u00fcn \u2708"}


def test_a_request_goes_there_and_a_reply_comes_back() -> None:
    c = child(SPEAKS)
    assert c.ask(ASK, 30) == {"ok": True, "was": ASK}
    assert c.ask(ASK, 30)["ok"]
    c.close()


def test_a_late_child_is_killed_and_the_next_request_has_a_new_one() -> None:
    c = child(HANGS)
    assert c.ask(ASK, 0.05) == LATE
    assert c.ask(ASK, 0.05) == LATE
    c.close()


@pytest.mark.parametrize(("script", "said"), [(DIES, "ended"), (BABBLES, "odd"), (CANNOT, "no sp")])
def test_other_failures_are_replies(script: str, said: str) -> None:
    c = child(script)
    for _ in range(2):
        reply = c.ask(ASK, 30)
        assert not reply["ok"]
        assert said in reply["error"]
    c.close()


def test_a_program_that_is_not_there() -> None:
    c = SoundChild(["/nonexistent/program"])
    reply = c.ask(ASK, 30)
    assert not reply["ok"]
    assert "cannot be reached" in reply["error"]
    c.close()


def test_kill_from_another_thread_ends_the_wait() -> None:
    c = child(HANGS)
    c.start()
    timer = threading.Timer(0.1, c.kill)
    timer.start()
    assert not c.ask(ASK, 3600)["ok"]
    timer.join()
    c.close()


def test_a_cancelled_request_is_never_sent() -> None:
    c = child(SPEAKS)
    assert not c.ask(ASK, 30, lambda: True)["ok"]
    assert c.ask({"do": "voices"}, 30)["was"] == {"do": "voices"}
    c.close()


def test_close_is_final_and_removes_the_scratch_folder() -> None:
    c = child(SPEAKS)
    c.start()
    scratch = Path(c._scratch.name)
    assert scratch.is_dir()
    c.close()
    c.close()
    assert not scratch.exists()
    assert not c.ask(ASK, 1)["ok"]


def _voice_process(scratch: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-P", "-m", "callout.speaking.voice_process", str(scratch)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )


def test_the_voice_process_dies_with_its_parent(tmp_path: Path) -> None:
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    process = _voice_process(scratch)
    assert process.stdin
    assert process.stdout
    process.stdin.close()
    assert process.wait(timeout=300) == 0
    assert not scratch.exists()
    process.stdout.close()


def test_the_voice_process_answers_what_it_does_not_know(tmp_path: Path) -> None:
    process = _voice_process(tmp_path)
    out, _ = process.communicate('{"do": "dance"}\n{"do": "tone", "verdict": "nothing"}\n', 60)
    # Its input ended at once, so it may have left before the second answer.
    assert out.splitlines()[:1] in ([], ['{"ok": false, "error": "KeyError: \'dance\'"}'])


def test_a_file_of_the_same_name_here_is_not_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "json.py").write_text("raise SystemExit('wrong module')")
    (tmp_path / "callout.py").write_text("raise SystemExit('wrong module')")
    monkeypatch.chdir(tmp_path)
    c = SoundChild()
    assert "KeyError" in c.ask({"do": "dance"}, 60)["error"]
    c.close()
