"""Turns the records of one journal into rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.state import ItemOutcome, ItemProgress, Progress
from callout.core.checklist_run.summary import how_recited, lacking_in, stage_in
from callout.core.conversation import records as c
from callout.core.debrief.deviations import Deviation, lies_in_aircraft
from callout.core.debrief.facts import Facts, FlightFact, ItemFact, SessionFact
from callout.core.debrief.replies import finite_number
from callout.core.debrief.story import SeenItem, Story
from callout.core.flight_run import records as s
from callout.core.model.checklist import Phase
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.planning.plan_parts import NOT_FITTED
from callout.core.state.flow_watch import HandMove, way_of
from callout.core.state.proving import Standing

NO_FLIGHT: Mapping[str, str] = {}
_PHASES = {phase.value for phase in Phase}


def session_rows(
    records: Sequence[c.JournalRecord], flight: Mapping[str, str] = NO_FLIGHT
) -> tuple[SessionFact, tuple[ItemFact, ...]]:
    """Return the rows of one list's journal.

    flight: what the journal of its flight says about itself, for the person and the operator.
    Raises ValueError for other records.
    """
    began = records[0] if records else None
    if not isinstance(began, r.Began):
        raise ValueError("not the journal of a list")
    story = Story()
    for record in records:
        story.take(record)
    about = {**flight, **began.about}
    session = _session_fact(began, records[-1], about, story)
    pairs = zip(story.progress.plan.items, story.progress.items, strict=True)
    rows = (_item_fact(session, n, p, i, story) for n, (p, i) in enumerate(pairs))
    return session, tuple(rows)


def flight_row(records: Sequence[c.JournalRecord]) -> FlightFact:
    """Return the row of a flight's own journal; raises ValueError for another."""
    began = records[0] if records else None
    if not isinstance(began, s.SectorBegan):
        raise ValueError("not the journal of a flight")
    last = records[-1]
    calls = [c for c in records if isinstance(c, s.ListCalled)]
    missing = last.not_completed if isinstance(last, s.SectorEnded) else ()
    return FlightFact(
        flight=began.sector_id,
        began=began.utc,
        ended=last.utc,
        person=began.about.get("crew", ""),
        aircraft=began.about.get("aircraft", ""),
        operator=began.about.get("operator", ""),
        title=began.title,
        finished=isinstance(last, s.SectorEnded),
        lists=tuple((entry.id, entry.title) for entry in began.lists),
        called=tuple(c.list_id for c in calls),
        warned=tuple(c.session_id for c in calls if c.warned),
        not_completed=missing,
        resumes=sum(isinstance(record, s.SectorResumed) for record in records),
    )


def gather_facts(
    lists: Iterable[tuple[SessionFact, tuple[ItemFact, ...]]], flights: Iterable[FlightFact]
) -> Facts:
    """Return all rows, oldest session first; lists called at the wrong time are marked."""
    rows = sorted(lists, key=lambda row: (row[0].began, row[0].session_id))
    drills = {(s.flight, s.list_id) for s, _ in rows if s.phase == Phase.NON_NORMAL.value}
    ordered = sorted(flights, key=lambda f: (f.began, f.flight))
    known = tuple(replace(f, never_started=_never_started(f, drills)) for f in ordered)
    early = {session_id for flight in known for session_id in flight.warned}
    sessions = (_marked_early(session, session.session_id in early) for session, _ in rows)
    return Facts(tuple(sessions), tuple(item for _, items in rows for item in items), known)


def _never_started(flight: FlightFact, drills: set[tuple[str, str]]) -> tuple[str, ...]:
    """Return the lists passed over; a drill does not count as progress of the flight."""
    places = [n for n, (list_id, _) in enumerate(flight.lists) if list_id in flight.called]
    normal = [n for n in places if (flight.flight, flight.lists[n][0]) not in drills]
    before = flight.lists[: max(normal, default=0)]
    return tuple(
        title
        for list_id, title in before
        if title in flight.not_completed and list_id not in flight.called
    )


def _marked_early(session: SessionFact, early: bool) -> SessionFact:
    if not early:
        return session
    return replace(session, deviations=(*session.deviations, Deviation.WRONG_TIME))


def phase_of(plan: Plan) -> str:
    """Return the phase of flight, or "" if neither the plan nor its id says."""
    if plan.phase is not None:
        return plan.phase.value
    return plan.list_id if plan.list_id in _PHASES else ""


def _session_fact(
    began: r.Began, last: c.JournalRecord, about: Mapping[str, str], story: Story
) -> SessionFact:
    progress = story.progress
    items = [i for i in progress.items if i.outcome is not ItemOutcome.NOT_APPLICABLE]
    incomplete = progress.ending is not Ending.COMPLETED
    return SessionFact(
        session_id=began.session_id,
        began=began.utc,
        ended=last.utc,
        person=about.get("crew", ""),
        aircraft=about.get("aircraft", ""),
        operator=about.get("operator", ""),
        list_id=progress.plan.list_id,
        title=progress.plan.title,
        phase=phase_of(progress.plan),
        method=progress.plan.method.value,
        flight=about.get("sector", ""),
        drill=about.get("drill", ""),
        hearing=about.get("hearing", ""),
        ending=progress.ending,
        call=progress.call,
        minutes=max(0.0, finite_number(progress.at - progress.began) or 0.0) / 60,
        items=len(items),
        first_time=sum(item.first_time for item in items),
        skipped=sum(item.outcome is ItemOutcome.SKIPPED for item in items),
        deferred=sum(item.deferred for item in items),
        mismatches=sum(item.mismatches for item in items),
        unclear=sum(item.unclear for item in items),
        not_set=sum(item.not_set for item in items),
        fast=sum(item.fast for item in items),
        slow=sum(item.slow for item in items),
        out_of_order=progress.passed_over,
        holds=progress.holds,
        hold_seconds=round(story.hold_seconds, 3),
        resumes=progress.resumes,
        failures=progress.failures,
        sound=progress.sound,
        remarks=sum(item.remarks for item in items),
        flow_seconds=finite_number(progress.flow_seconds),
        hands=progress.flow_seen,
        hand_moves=_moves(progress),
        flow_panels=tuple((p.panel, p.place) for p in progress.plan.flow),
        hand_way=way_of(progress.plan.flow, progress.hands),
        flow_stage=stage_in(progress),
        flow_lacking=lacking_in(progress.plan),
        memory_seconds=finite_number(progress.memory.seconds),
        flow_misses=sum(panel.misses + panel.told for panel in progress.panels)
        + sum(control.misses + control.told for control in progress.controls),
        deviations=(Deviation.INCOMPLETE,) if incomplete else (),
    )


def _moves(progress: Progress) -> tuple[HandMove, ...]:
    began = progress.flow_began or 0.0
    return tuple(replace(move, at=round(move.at - began, 3)) for move in progress.hands)


def _item_fact(
    session: SessionFact, position: int, planned: PlannedItem, item: ItemProgress, story: Story
) -> ItemFact:
    seen, memory = story.seen(planned.id), story.progress.memory
    due = planned.memory and memory.began is not None
    due = due and item.outcome is not ItemOutcome.NOT_APPLICABLE
    return ItemFact(
        session_id=session.session_id,
        began=session.began,
        person=session.person,
        aircraft=session.aircraft,
        list_id=session.list_id,
        phase=session.phase,
        item_id=planned.id,
        position=position,
        challenge=planned.challenge,
        title=session.title,
        section=planned.section,
        role=planned.role,
        critical=planned.critical,
        outcome=item.outcome,
        not_fitted=planned.why_not == NOT_FITTED,
        recital=how_recited(memory, planned.id, item) if due else "",
        asked=item.asked,
        tries=len(seen.replies),
        mismatches=item.mismatches,
        unclear=item.unclear,
        not_set=item.not_set,
        shown="" if item.standing is Standing.UNWATCHED else item.standing.value,
        deferred=item.deferred,
        skipped=item.outcome is ItemOutcome.SKIPPED,
        skip_reason=item.reason if item.outcome is ItemOutcome.SKIPPED else "",
        out_of_order=seen.early,
        passed_over=seen.passed,
        fast=item.fast,
        slow=item.slow,
        reply_seconds=seen.replies[0].seconds if seen.replies else None,
        total_seconds=round(seen.seconds, 3),
        first_time=item.first_time,
        round=seen.round,
        reply=item.reply,
        heard=tuple(seen.replies),
        deviations=tuple(_item_deviations(session, item, seen)),
    )


def _item_deviations(session: SessionFact, item: ItemProgress, seen: SeenItem) -> list[Deviation]:
    """A stopped list omits nothing: it is incomplete as a whole."""
    left = item.outcome is ItemOutcome.LEFT_OPEN and session.ending is Ending.COMPLETED
    left_out = item.outcome is ItemOutcome.SKIPPED and not lies_in_aircraft(item.reason)
    found = [
        (Deviation.OMITTED, left_out or left),
        (Deviation.MISMATCHED, item.mismatches > 0),
        (Deviation.NOT_SET, item.not_set > 0),
        (Deviation.TOO_FAST, item.fast),
        (Deviation.OUT_OF_SEQUENCE, seen.early),
    ]
    return [deviation for deviation, on in found if on]
