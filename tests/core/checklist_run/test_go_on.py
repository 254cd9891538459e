"""While nothing is on hold, nobody listens for "go on": it sounds like "both on"."""

from __future__ import annotations

from callout.core.checklist_run.arming import candidates_of
from callout.core.checklist_run.state import Context, SessionState
from callout.core.understanding.candidate_sets import candidates_for
from tests.core.session_kit import Desk


def _listened_for(desk: Desk) -> set[str]:
    base = desk.state.context
    context = Context(base.commands, base.tables, base.pacing, candidates_for, True, "test")
    found = candidates_of(context, desk.state.progress)
    return {form for candidate in found.candidates for form in candidate.forms}


def test_go_on_is_heard_on_hold_only() -> None:
    desk = Desk().start()
    assert isinstance(desk.state, SessionState)
    assert {"continue", "carry on"} <= _listened_for(desk)
    assert not {"go on", "go ahead", "proceed"} & _listened_for(desk)
    desk.say("hold")
    assert {"continue", "go on", "go ahead"} <= _listened_for(desk)
    desk.say("go on")
    assert not desk.state.progress.held


def test_typed_it_is_understood_at_any_time() -> None:
    desk = Desk().start().say("go on")
    assert desk.asking == "beacon"
    assert desk.state.progress.items[0].unclear == 0
