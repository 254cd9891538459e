"""Picks what to drill, and runs the drill."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from callout.app.running.interrupting import interruptible_runner
from callout.app.running.machines import Machine
from callout.app.running.practice import Practice, first_pages
from callout.app.running.runner import Runner
from callout.app.running.wiring import SystemClock, about_this, put_together, with_ears
from callout.app.running.wishes import Wishes
from callout.app.shared.settings import Settings
from callout.app.shared.tables import default_tables
from callout.core.drill import drilling
from callout.core.drill.entries import Page, entries_of
from callout.core.drill.events import DrillStarted
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick, pick_items
from callout.core.drill.schedule import SECONDS_EACH, item_standings
from callout.core.drill.state import DrillState
from callout.core.drill.summary import DrillSummary, summarise_drill
from callout.core.drill.waiting_items import Lot, draw_waiting, open_lots
from callout.core.sentences import session as sentences
from callout.errors import CalloutError
from callout.journal.sector_files import DRILLS

MINUTES = 10.0
"""Usual length of a daily drill."""
DRILL: Machine[DrillState] = Machine(
    step=drilling.drill_step,
    deadline=drilling.drill_deadline,
    target=drilling.asked_id,
    moment=drilling.moment_of,
    summary=lambda state: summarise_drill(state.progress),
)


@dataclass(frozen=True, slots=True)
class DrillWish:
    """What to drill, and for how long."""

    mode: Mode | None = None
    """None: what suits each item."""
    minutes: float = MINUTES
    """Time limit in minutes."""

    @property
    def slots(self) -> int:
        """Maximum number of items picked."""
        return max(1, round(self.minutes * 60 / SECONDS_EACH))


def picks_for_drill(
    practice: Practice,
    pages: Sequence[Page],
    now: datetime,
    wish: DrillWish,
    lots: Sequence[Lot] = (),
) -> tuple[Pick, ...]:
    """Return what to drill now from ``pages``; raises CalloutError for nothing.

    pages: empty means the lists that were flown or, if there are none, shipped ones. lots: drawn
    just now, in addition to those still open.
    """
    entries = list(entries_of(pages or practice.pages or first_pages()))
    values = {entry.key: entry.item.wants_value for entry in entries}
    known = item_standings(practice.reviews, now, lambda key: values.get(key, False))
    still = open_lots(practice.lots, practice.reviews, now)
    waiting = {lot.key for lot in (*still, *lots) if lot.waits}
    found = pick_items(entries, known, now, wish.slots, waiting)
    if not found:
        hint = sentences.NAME_DRILL_FOLDER
        raise CalloutError(sentences.NO_ITEM_TO_DRILL, hint)
    return found


def draw_lots(practice: Practice, picks: Sequence[Pick], now: datetime) -> tuple[Lot, ...]:
    """Draw which of the picks wait, so that later flights show whether drills help."""
    still = open_lots(practice.lots, practice.reviews, now)
    chances = iter(secrets.SystemRandom().random, None)
    return draw_waiting(picks, still, practice.reviews, now, chances)


def run_drill(
    picks: Sequence[Pick],
    journals: Path,
    settings: Settings,
    wishes: Wishes,
    wish: DrillWish,
    *,
    safety: str,
    about: Mapping[str, str],
    lots: Sequence[Lot] = (),
) -> DrillSummary:
    """Drill ``picks``, with a journal of its own below ``journals``."""
    mark = secrets.token_hex(3)
    exercises = exercises_of(picks, wish.mode, mark, default_tables())
    return drill_exercises(
        exercises, journals, settings, wishes, wish, mark, safety=safety, about=about, lots=lots
    )


def drill_exercises(
    exercises: Sequence[Exercise],
    journals: Path,
    settings: Settings,
    wishes: Wishes,
    wish: DrillWish,
    mark: str,
    *,
    safety: str,
    about: Mapping[str, str],
    lots: Sequence[Lot] = (),
) -> DrillSummary:
    """Run a drill of these exercises. mark: letters that distinguish its journal."""
    from callout.journal.jsonl_writer import create_journal

    wishes = with_ears(wishes, settings)
    journal = create_journal(journals / DRILLS, "drill", SystemClock().utc(), mark)
    context, parts = put_together(journal, settings, wishes)
    facts = {**about_this(parts, settings), **about}
    drill_id = Path(journal.where).stem
    state = DrillState(replace(context, setting=None))
    with interruptible_runner(Runner(state, parts, DRILL, safety=safety)) as runner:
        summary: DrillSummary = runner.run(
            lambda stamp: DrillStarted(
                stamp, drill_id, tuple(exercises), wish.minutes, facts, lots=tuple(lots)
            )
        )
        return summary
