"""Replies that were once taken for their contrary, said by synthetic voices, are not accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.bench.lists import ListPlayer, list_replies
from callout.bench.synth import installed_voices

LISTS = Path(__file__).parents[2] / "checklists"
VOICE = "flite:rms"


@pytest.mark.audio
@pytest.mark.parametrize(
    ("file", "item"),
    [
        ("sandling-two/securing.yaml", "doors"),
        ("tarnbeck-one/engine-failure-in-flight.yaml", "primer"),
        ("halvern-seventy/securing.yaml", "doors"),
    ],
)
def test_unlocked_is_never_locked(file: str, item: str) -> None:
    """The first recogniser is not sure of "unlocked", and "I'm locked" is a fuller "locked"."""
    if VOICE not in installed_voices():
        pytest.skip("flite is not installed")
    wrong = [
        reply
        for reply in list_replies([LISTS / file], wrong=True)
        if reply.item_id == item and reply.said == "unlocked"
    ]
    assert wrong
    player = ListPlayer("embedded")
    assert not any(player.hear(reply, VOICE).accepted for reply in wrong)
