"""The replies said to the recogniser are what the judge takes for right, and for wrong."""

from __future__ import annotations

import pytest

from callout.app.shared.tables import default_tables
from callout.bench import replies
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict


def test_right_replies_are_right_and_wrong_ones_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(replies, "installed_voices", lambda: replies.VOICES)
    said = list(replies.drill_replies())
    assert {one.voice for one in said} == set(replies.VOICES)
    for one in said:
        wanted = Verdict.MATCH if one.right else Verdict.MISMATCH
        found = judge_reply(one.words, one.exercise.expectation, default_tables())
        assert found.verdict is wanted, one
