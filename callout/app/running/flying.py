"""Runs a whole flight, and continues one that was interrupted."""

from __future__ import annotations

import random
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from callout.app.running.done_earlier import read_past
from callout.app.running.flight_folder import (
    FlightFolder,
    load_folder,
    taken_over,
    with_own_wordings,
)
from callout.app.running.flow_history import flow_pasts
from callout.app.running.interrupting import interruptible_runner
from callout.app.running.machines import Machine
from callout.app.running.runner import Runner
from callout.app.running.wiring import SystemClock, about_this, put_together, with_ears
from callout.app.running.wishes import Wishes
from callout.app.shared.own_wordings import wordings_of
from callout.app.shared.settings import Settings
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Context, SessionState
from callout.core.checklist_run.wording import coming_challenges
from callout.core.conversation import events as ev
from callout.core.conversation.moment import Moment
from callout.core.flight_run import flying
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.planning import list_context
from callout.core.flight_run.records import SectorBegan
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import (
    ListRun,
    SectorContext,
    SectorProgress,
    SectorState,
    Surprises,
)
from callout.core.flight_run.summary import SectorSummary, summarise_sector
from callout.core.model.checklist import Checklist
from callout.core.sentences import session as sentences
from callout.errors import CalloutError
from callout.journal.jsonl_reader import JournalRead
from callout.journal.jsonl_writer import reopen_journal
from callout.journal.misfits import making_sense
from callout.journal.sector_files import SectorFiles, create_folder, list_path, new_sector

FLIGHT: Machine[SectorState] = Machine(
    step=flying.flight_step,
    deadline=flying.flight_deadline,
    target=flying.asked_id,
    moment=flying.moment_of,
    summary=lambda state: summarise_sector(state.context, state.progress),
    eager=flying.step_is_due,
    coming=lambda state: coming_challenges(state.inner.progress) if state.inner else (),
)
"""A whole flight."""


SURPRISES = 3
"""Maximum number of random memory items in one flight."""


@dataclass(frozen=True, slots=True)
class FlightWishes:
    """How a flight begins."""

    first: str = ""
    """Id of the list to begin with; empty: the first of the flight."""
    received: str = ""
    """The condition in which the aircraft is taken over; empty: this crew already had it."""
    surprise: int | None = None
    """The random source for memory items between lists; None: only on request."""


def run_flight(
    folder: FlightFolder,
    journals: Path,
    settings: Settings,
    wishes: Wishes,
    begin: FlightWishes,
    *,
    safety: str,
    about: Mapping[str, str],
) -> SectorSummary:
    """Run a flight from its beginning; ``about`` names its files, for a resume."""
    _check_first(folder, begin.first)
    clock = SystemClock()
    mark = secrets.token_hex(3)
    wishes = with_ears(wishes, settings)
    sector_id, own = new_sector(journals, clock.utc(), mark)
    files = SectorFiles(journals, own)
    session, parts = put_together(files, settings, wishes)
    context = _flight_context(folder, journals, settings, session, received=begin.received)
    context = replace(context, surprises=draw_surprises(folder.lists, begin.surprise))
    lot = {} if begin.surprise is None else {"surprise": str(begin.surprise)}
    facts = {**about, **about_this(parts, settings), "aircraft": folder.aircraft}
    facts |= lot
    facts |= {"operator": folder.flight.operator} if folder.flight.operator else {}
    runner = Runner(SectorState(context), parts, FLIGHT, safety=safety)
    with interruptible_runner(runner):
        summary: SectorSummary = runner.run(
            lambda stamp: SectorStarted(
                stamp, sector_id, mark, folder.title, begin.first, begin.received, facts
            )
        )
        return summary


def resume_flight(
    found: JournalRead, journals: Path, settings: Settings, wishes: Wishes, *, safety: str
) -> SectorSummary:
    """Continue an interrupted flight, at the exact item of its open list if there is one."""
    began = found.records[0]
    assert isinstance(began, SectorBegan)
    folder = load_folder(
        Path(began.about.get("folder", "")),
        began.about.get("flight") or None,
        [name for name in began.about.get("overlays", "").split("\n") if name],
    )
    folder, _ = with_own_wordings(folder, wordings_of(journals, settings.crew_name))
    create_folder(journals)
    wishes = with_ears(wishes, settings)
    own, found = reopen_journal(found.path)
    files = SectorFiles(journals, own)
    try:
        with making_sense(found.path):
            progress = replay_sector(found.records)
        session, parts = put_together(files, settings, wishes)
        context = _flight_context(folder, journals, settings, session, received=progress.received)
        lot = began.about.get("surprise", "")
        seed = int(lot) if lot.isdecimal() else None
        context = replace(context, surprises=draw_surprises(folder.lists, seed))
        state = _restored_state(context, progress, files, journals)
    except BaseException:
        files.close()
        raise
    if progress.open_run:
        files.go_to(progress.open_run.session_id)
    offset = max(progress.at, *(s.progress.at for s in _lists_of(state)), 0.0)
    runner = Runner(state, parts, FLIGHT, safety=safety, offset=offset)
    with interruptible_runner(runner):
        summary: SectorSummary = runner.run(lambda stamp: ev.ResumeAsked(stamp, found.torn))
        return summary


def _flight_context(
    folder: FlightFolder, journals: Path, settings: Settings, session: Context, *, received: str
) -> SectorContext:
    """Return the context of the flight; a crew that takes over trusts no journal and no file."""
    flight = replace(folder.flight, lacks=(*folder.flight.lacks, *settings.lacking))
    if received:
        flight = taken_over(flight, received, session.commands.fillers)
    done: dict[str, Mapping[str, str]] = {}
    if not received:
        now = datetime.now().astimezone()
        past = read_past(journals, folder.aircraft, folder.lists, now)
        done = {c.id: past.done(c, now, settings.crew_name) for c in folder.lists}
    names = [c.id for c in folder.lists if c.flow]
    pacing = replace(settings, pacing=session.pacing)
    flows = flow_pasts(names, folder.aircraft, journals, pacing)
    session = replace(session, flows=flows)
    return SectorContext(session, folder.lists, flight, settings.seats, done)


def _restored_state(
    context: SectorContext, progress: SectorProgress, files: SectorFiles, journals: Path
) -> SectorState:
    state = SectorState(context, progress)
    aside = {}
    inner = None
    for run in progress.runs:
        if run.ending is not None:
            continue
        found = _list_state(state, run, files, journals)
        if run.aside and found:
            aside[run.session_id] = found
        elif not run.aside:
            inner = found
    return replace(state, inner=inner, aside=aside)


def _list_state(
    state: SectorState, run: ListRun, files: SectorFiles, journals: Path
) -> SessionState | None:
    """Return a list as its journal left it; None if nothing has been stored yet."""
    records = files.records_of(run.session_id)
    if not records:
        return None
    checklist = state.context.checklist(run.list_id)
    session = state.context.session
    context = list_context(state, checklist, run) if checklist else session
    with making_sense(list_path(journals, run.session_id)):
        return SessionState(context, replay_list(records), Moment())


def _lists_of(state: SectorState) -> list[SessionState]:
    return [*state.aside.values(), *([state.inner] if state.inner else [])]


def draw_surprises(lists: Sequence[Checklist], seed: int | None) -> Surprises:
    """Return after which lists memory items come, and in which order; the same for the same
    seed.
    """
    if seed is None:
        return Surprises()
    lot = random.Random(seed)
    memory = [c.id for c in lists if c.any_time and any(item.memory for item in c.items)]
    usual = range(1, max(2, sum(not c.any_time for c in lists)))
    after = sorted(lot.sample(usual, min(SURPRISES, max(1, len(usual) // 4))))
    return Surprises(tuple(after), tuple(lot.sample(memory, len(memory))))


def _check_first(folder: FlightFolder, first: str) -> None:
    known = {c.id for c in folder.lists}
    if first and first not in known:
        raise CalloutError(sentences.no_list_of_that_id(first, folder.folder), _list_ids(folder))


def _list_ids(folder: FlightFolder) -> str:
    return sentences.the_lists_are(", ".join(c.id for c in folder.lists))
