"""As in a list, nobody listens for "go on" in a drill while nothing is on hold."""

from __future__ import annotations

from dataclasses import replace

from callout.app.shared.command_tables import default_commands
from callout.core.conversation import effects as e
from callout.core.understanding.candidate_sets import candidates_for
from tests.core.drill.drill_kit import Drill, exercises


def _listened_for(drill: Drill) -> set[str]:
    listen = [x for x in drill.effects if isinstance(x, e.Listen)][-1]
    return {form for candidate in listen.candidates.candidates for form in candidate.forms}


def test_go_on_is_heard_on_hold_only() -> None:
    drill = Drill(exercises(None))
    drill.state = replace(
        drill.state, context=replace(drill.state.context, find_candidates=candidates_for)
    )
    drill.say("say again")
    assert "continue" in _listened_for(drill)
    assert not {"go on", "go ahead", "proceed"} & _listened_for(drill)
    drill.say("hold")
    assert {"continue", "go on", "go ahead"} <= _listened_for(drill)
    assert default_commands().groups() != default_commands().off_hold().groups()
