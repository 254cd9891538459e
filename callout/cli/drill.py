"""``callout drill``: ten minutes a day on what goes wrong."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from callout.app.running.glancing import glance_page
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._options import common_options, glance_options, session_wishes
from callout.cli.main import SAFETY
from callout.core.debrief.shown import shown_text
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Mode
from callout.core.model.counting import counted_noun
from callout.core.sentences import page
from callout.core.sentences.commands import answers, command_help
from callout.core.sentences.commands import option_help as sentences

if TYPE_CHECKING:
    from callout.app.running.practice import Practice
    from callout.core.drill.picking import Pick

_MIXED = "mixed"
_WAITS = answers.WAIT_BY_LOT


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_DRILL)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--mode",
    type=click.Choice([_MIXED, *(mode.value for mode in Mode)]),
    default=_MIXED,
    show_default=True,
    help=sentences.DRILL_MODE,
)
@click.option(
    "--minutes",
    type=click.FloatRange(0.5, 120),
    default=10.0,
    show_default=True,
    help=sentences.DRILL_MINUTES,
)
@click.option("--person", default="", metavar="NAME", help=sentences.DRILL_PERSON)
@click.option(
    "--also",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help=sentences.DRILL_ALSO,
)
@click.option(
    "--from",
    "collection",
    type=click.Path(path_type=Path),
    help=sentences.DRILL_FROM,
)
@click.option("--show", is_flag=True, help=sentences.DRILL_SHOW)
@click.option("--demo", is_flag=True, help=sentences.DRILL_DEMO)
@click.option("--fast", is_flag=True, help=sentences.DRILL_FAST)
@common_options
@glance_options
def command(
    folder: Path | None,
    mode: str,
    minutes: float,
    person: str,
    also: tuple[Path, ...],
    collection: Path | None,
    show: bool,
    demo: bool,
    fast: bool,
    journal_dir: str | None,
    **options: Any,
) -> None:
    """Practise the items at which a minute prevents most slips.

    They are picked from your journals by spaced repetition, fitted to how you forget; critical
    ones count twice, and none is left alone for long. A few items wait by lot, and later flights
    show whether drills help. FOLDER: take the items of this
    aircraft's lists instead of those you have flown. Reply aloud or type and press Enter;
    "not known" tells the answer.
    """
    from callout.app.running.drilling import DrillWish, draw_lots, picks_for_drill, run_drill
    from callout.app.running.practice import (
        check_whose,
        first_pages,
        pages_in,
        with_own_wordings,
    )
    from callout.app.shared.naming import aircraft_folder
    from callout.app.shared.own_wordings import wordings_of

    settings = load_settings()
    wanted = session_wishes(**options)
    journals = journal_folder(journal_dir, settings)
    if demo:
        _demonstrate_drill(fast, journals, wanted)
        return
    wish = DrillWish(None if mode == _MIXED else Mode(mode), minutes)
    who = person or settings.crew_name
    practice = _practice((journals, *also), who, collection)
    for problem in practice.problems:
        click.echo(f"callout: {problem}", err=True)
    check_whose(practice, who)
    pages = pages_in(aircraft_folder(folder)) if folder else practice.pages or first_pages()
    pages = with_own_wordings(pages, wordings_of(journals, who))
    now = datetime.now(UTC)
    picks = picks_for_drill(practice, pages, now, wish)
    if not practice.reviews:
        click.echo(page.NO_DRILL_HISTORY)
    if show:
        for line in (*_pick_lines(picks), *_learnt(practice)):
            click.echo(shown_text(line))
        return
    lots = draw_lots(practice, picks, now)
    waiting = sum(lot.waits for lot in lots)
    if waiting:
        picks = picks_for_drill(practice, pages, now, wish, lots)
        click.echo(_WAITS.format(counted_noun(waiting, "item")))
    about = {"crew": who} if who else {}
    with glance_page(wanted, journals) as beside:
        run_drill(picks, journals, settings, beside, wish, safety=SAFETY, about=about, lots=lots)
    for line in _progress_lines(_practice((journals, *also), who, collection)):
        click.echo(line)


def _practice(folders: Sequence[Path], who: str, collection: Path | None) -> Practice:
    from callout.app.running.practice import read_practice

    if collection is None:
        return read_practice(folders, who)
    from callout.app.reports.collected_practice import collected_practice

    return collected_practice(collection, folders, who)


def _pick_lines(picks: Sequence[Pick]) -> Iterator[str]:
    from callout.core.drill.told_chance import told_chance

    yield f"{len(picks)} items; a minute of the first ones prevents most slips:"
    for number, one in enumerate(picks, 1):
        marks = ("due" if one.due else "", "critical" if one.entry.item.critical else "")
        why = ", ".join(mark for mark in (_why_picked(one), *marks) if mark)
        item = f"{one.entry.plan.title}, {one.entry.item.challenge}"
        chance = told_chance(one.risk).words
        yield f"{number:>3}. {item[:40]:<40} {chance:<16}  {why}".rstrip()
    yield answers.CHANCE_OF_SLIP


def _why_picked(one: Pick) -> str:
    if one.new:
        return "new"
    if one.weakness is Weakness.NONE:
        return "not met for weeks" if one.owed else ""
    return str(one.weakness.value)


def _progress_lines(practice: Practice) -> list[str]:
    from callout.core.drill.shown_progress import drills_so_far

    return drills_so_far(practice.drills, practice.lots, practice.reviews)


def _learnt(practice: Practice) -> list[str]:
    from callout.core.drill.shown_progress import what_was_learnt

    return what_was_learnt(practice.drills, practice.lots, practice.reviews)


def _demonstrate_drill(fast: bool, journals: Path, wanted: Any) -> None:
    from callout.app.running.drill_demo import show_drill
    from callout.cli.demo import APART
    from callout.terminal.plain import print_indented

    click.echo(APART)
    wishes = replace(wanted, voice=not fast if wanted.voice is None else wanted.voice, plain=True)
    summary = show_drill(journals, wishes, fast=fast, tell=print_indented, safety=SAFETY)
    if summary.over is None:
        click.echo(answers.DRILL_DEMO_CUT_SHORT, err=True)
        sys.exit(1)
