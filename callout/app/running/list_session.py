"""Runs one list from its beginning, and continues one that was interrupted."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from callout.app.running.flow_history import flow_pasts
from callout.app.running.interrupting import interruptible_runner
from callout.app.running.machines import LIST
from callout.app.running.runner import Runner
from callout.app.running.wiring import (
    SystemClock,
    about_this,
    put_together,
    with_ears,
    with_setting,
)
from callout.app.running.wishes import Wishes, with_wishes
from callout.app.shared.settings import Settings
from callout.core.checklist_run.records import Began
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import SessionState
from callout.core.checklist_run.summary import Summary
from callout.core.conversation import events as ev
from callout.core.planning.plan import Plan
from callout.core.planning.plan_inputs import Setting


def run_session(
    plan: Plan,
    folder: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    safety: str,
    setting: Setting | None = None,
    about: Mapping[str, str] | None = None,
) -> Summary:
    """Run ``plan`` from its beginning, with a journal of its own in ``folder``.

    setting: what the plan was computed from, so that the set-up can change. about: its files, for a
    resume.
    """
    from callout.journal.jsonl_writer import create_journal

    clock = SystemClock()
    mark = secrets.token_hex(3)
    wishes = with_ears(wishes, settings)
    journal = create_journal(folder, plan.list_id, clock.utc(), mark)
    context, parts = put_together(journal, settings, wishes, opening=f"{plan.title}.")
    aircraft = (about or {}).get("aircraft", "")
    flows = flow_pasts((plan.list_id,), aircraft, folder, with_wishes(settings, wishes))
    state = SessionState(replace(with_setting(context, setting), flows=flows))
    facts = {**(about or {}), **about_this(parts, settings)}
    session_id = Path(journal.where).stem
    with interruptible_runner(Runner(state, parts, LIST, safety=safety)) as runner:
        summary: Summary = runner.run(lambda stamp: ev.Started(stamp, session_id, plan, facts))
        return summary


def resume_session(
    path: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    safety: str,
    setting_of: Callable[[Mapping[str, str], Plan], Setting | None] = lambda about, plan: None,
) -> Summary:
    """Continue the session whose journal is at ``path``.

    setting_of: returns, from the files named in the journal, what the set-up can change.
    """
    from callout.journal.jsonl_writer import reopen_journal
    from callout.journal.misfits import making_sense

    wishes = with_ears(wishes, settings)
    journal, found = reopen_journal(path)
    try:
        with making_sense(path):
            progress = replay_list(found.records)
        context, parts = put_together(journal, settings, wishes)
        began = found.records[0] if found.records else None
        known = setting_of(began.about, progress.plan) if isinstance(began, Began) else None
    except BaseException:
        journal.close()
        raise
    about = began.about if isinstance(began, Began) else {}
    name, chosen = progress.plan.list_id, with_wishes(settings, wishes)
    flows = flow_pasts((name,), about.get("aircraft", ""), path.parent, chosen)
    state = SessionState(replace(with_setting(context, known), flows=flows), progress)
    runner = Runner(state, parts, LIST, safety=safety, offset=progress.at)
    with interruptible_runner(runner):
        summary: Summary = runner.run(lambda stamp: ev.ResumeAsked(stamp, found.torn))
        return summary
