"""The sentences said and shown between lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from callout.core.checklist_run import wording
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.undoing import Undone
from callout.core.flight_run.calls import first_phrase
from callout.core.flight_run.due import (
    missing_before,
    next_due,
    normal_lists,
    not_completed,
    overdue_lists,
)
from callout.core.flight_run.facts import merged_facts
from callout.core.flight_run.lapsing import all_lapsed, complete_now, lapsed_items
from callout.core.flight_run.questions import DeskQuestion
from callout.core.flight_run.state import ListRun, SectorContext, SectorProgress
from callout.core.model.checklist import Checklist
from callout.core.model.counting import counted_noun
from callout.core.planning.stated_quantity import Given
from callout.core.sentences import flight as sentences


def list_titles(lists: Sequence[Checklist]) -> str:
    """Return the names of some lists, to say aloud."""
    return wording.spoken_names([c.title for c in lists])


def what_is_due(context: SectorContext, progress: SectorProgress) -> str:
    """Return what comes next and what was passed over."""
    if not not_completed(context, progress):
        return sentences.ALL_COMPLETE
    due = next_due(context, progress)
    run = progress.last_run(due.id) if due else None
    parts = [] if run and run.aside else [_next_list(due, progress)]
    passed, again = overdue_lists(context, progress), all_lapsed(context, progress)
    left = [c for c in normal_lists(context, progress) if c in passed or c.id in again]
    parts += not_done(context, progress, left)
    waiting = [run for run in progress.runs if run.aside]
    parts += [sentences.paused_say_name(_list_title(context, run.list_id)) for run in waiting]
    return " ".join(parts)


def not_done(
    context: SectorContext, progress: SectorProgress, lists: Sequence[Checklist]
) -> tuple[str, ...]:
    """Return which lists were not completed, and which a change has made due again, with the
    reason.
    """
    again = {c.id: items for c in lists if (items := lapsed_items(context, progress, c))}
    never = [c for c in lists if c.id not in again]
    parts = (sentences.not_completed(list_titles(never)),) if never else ()
    return (*parts, *(_due_again(context, list_id, again[list_id]) for list_id in again))


def due_again(
    context: SectorContext,
    progress: SectorProgress,
    facts: Mapping[str, bool],
    given: Iterable[Given] = (),
    but: str = "",
) -> tuple[str, ...]:
    """Return how a change affects the other lists: due again, or newly due.

    but: id of the list in which it was stated.
    """
    after = merged_facts(progress, facts, given, progress.at)
    before, now = all_lapsed(context, progress), all_lapsed(context, after)
    fresh = {name: items for name, items in now.items() if name != but and name not in before}
    usual = {c.id for c in normal_lists(context, progress)}
    new = [c for c in not_completed(context, after) if c.id not in {*usual, *now, but}]
    said = tuple(_due_again(context, list_id, items) for list_id, items in fresh.items())
    return (*said, sentences.now_due(list_titles(new))) if new else said


def _due_again(context: SectorContext, list_id: str, items: Sequence[Undone]) -> str:
    names = wording.spoken_names([item.challenge for item in items if item.item_id])
    return sentences.due_again(_list_title(context, list_id), f", for {names}" if names else "")


def how_to_begin(context: SectorContext, progress: SectorProgress) -> str:
    """Return what to say for the due list; empty if none is due."""
    due = next_due(context, progress)
    return sentences.say_to_begin(first_phrase(due)) if due else ""


def _next_list(due: Checklist | None, progress: SectorProgress) -> str:
    if due is None:
        return sentences.NO_LIST_AFTER
    reached = any(moment in progress.moments for moment in due.due)
    when = f', at "{due.due[0]}"' if due.due and not reached else ""
    return sentences.next_list(due.title, when)


def moment_called(
    context: SectorContext, progress: SectorProgress, moment: str, lists: Sequence[Checklist]
) -> str:
    """Return what falls due at a point in the flight, and what should have been done before."""
    open_ones = [c for c in lists if not complete_now(context, progress, c.id)]
    if not open_ones:
        return sentences.already_complete(moment.capitalize(), list_titles(lists))
    missing = {m.id: m for c in open_ones for m in missing_before(context, progress, c)}
    said = sentences.due_at_moment(
        moment.capitalize(), list_titles(open_ones), first_phrase(open_ones[0])
    )
    return " ".join((said, *not_done(context, progress, list(missing.values()))))


def question_words(context: SectorContext, progress: SectorProgress) -> str:
    """Return the open question as it is said and shown."""
    checklist = context.checklist(progress.subject)
    title = checklist.title if checklist else "the list"
    match progress.question:
        case DeskQuestion.OUT_OF_ORDER if checklist:
            missing = not_done(context, progress, missing_before(context, progress, checklist))
            return sentences.run_anyway(" ".join(missing), title)
        case DeskQuestion.AGAIN:
            return sentences.run_again(title)
        case DeskQuestion.MEANT:
            return sentences.is_it_meant(title)
        case _:
            left = not_completed(context, progress)
            said = not_done(context, progress, left) or (sentences.ALL_COMPLETE,)
            return sentences.end_the_flight(" ".join(said))


def run_note(run: ListRun | None) -> str:
    """Return how a list ended, for its row."""
    if run is None:
        return ""
    if run.aside:
        return "paused"
    if run.ending is Ending.STOPPED:
        return f"stopped, {counted_noun(run.open_items, 'item')} not done"
    if run.ending is None:
        return ""
    counts = [(run.skipped, "skipped"), (run.open_items, "left open")]
    extra = ", ".join(f"{count} {what}" for count, what in counts if count)
    at = f"{run.ended:%H:%M} UTC" if run.ended else ""
    return ", ".join(part for part in (at, extra) if part)


def help_lines(context: SectorContext, progress: SectorProgress) -> tuple[str, ...]:
    """Return what can be said between lists, one line each."""
    due = next_due(context, progress)
    table = context.session.commands
    lines = [f"{first_phrase(due):<28}begin it"] if due else []
    for name, about in _DESK_HELP.items():
        lines += [f"{said:<28}{about}" for said in table.desk.get(name, ())[:1]]
    lines += [f"{m:<28}{c.title} is due" for c in context.lists for m in c.due[:1]]
    lines += [f"{first_phrase(c):<28}drill" for c in context.lists if c.phase.value == "non-normal"]
    return tuple(lines)


_DESK_HELP = {
    "next-list": "begin the list that is due",
    "what-is-due": "hear what comes next and what you passed over",
    "end-flight": "end the flight (asks first)",
}


def _list_title(context: SectorContext, list_id: str) -> str:
    checklist = context.checklist(list_id)
    return checklist.title if checklist else list_id
