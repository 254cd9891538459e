"""``callout forget``: remove a person or a period, and prove it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import click

from callout.app.privacy.collected import CollectedShare
from callout.app.privacy.crew_name import names_crew, take_out_crew_name
from callout.app.privacy.forgetting import (
    Forgetting,
    Forgotten,
    carry_out,
    own_places,
    plan_forgetting,
)
from callout.app.privacy.headings import count_kinds
from callout.app.shared.settings import journal_folder, load_settings, settings_path
from callout.cli._report_options import journal_dir_option
from callout.core.debrief.shown import shown_text
from callout.core.keeping.forgetting import Wish
from callout.core.sentences.commands import command_help, report_options
from callout.core.sentences.commands import report_answers as sentences
from callout.errors import CalloutError

_DAY = click.DateTime(formats=["%Y-%m-%d"])
_LONGEST = 5_000
"""Characters of a line; paths must stay whole."""
_WRITTEN = "as UTF-8 or with JSON escapes, in any case and spacing, file names included"
_NOT_SEARCHED = sentences.NOT_SEARCHED
_MOST = 20
"""Maximum number of lines of one kind shown."""


@click.command(short_help=command_help.COMMAND_FORGET)
@click.option("--person", default="", metavar="NAME", help=report_options.FORGET_PERSON)
@click.option("--since", "first", type=_DAY, metavar="DATE", help=report_options.FORGET_SINCE)
@click.option("--until", "last", type=_DAY, metavar="DATE", help=report_options.FORGET_UNTIL)
@click.option("--shared", is_flag=True, help=report_options.FORGET_SHARED)
@click.option("--only-sound", is_flag=True, help=report_options.FORGET_ONLY_SOUND)
@click.option("--dry-run", is_flag=True, help=report_options.FORGET_DRY_RUN)
@click.option("--yes", is_flag=True, help=report_options.YES)
@journal_dir_option
def command(
    person: str,
    first: datetime | None,
    last: datetime | None,
    shared: bool,
    only_sound: bool,
    dry_run: bool,
    yes: bool,
    journal_dir: str | None,
) -> None:
    """Delete journals, recordings, drills and indexes of a person, a period, or both.

    Collections made with `callout collect` are found wherever they are, and rewritten; reports that
    mention them are deleted. A flight and its lists count by the day the flight began. Sign-offs
    keep only their hashes. Afterwards callout searches every file in its folders for the name and
    the sessions, as UTF-8 and with JSON escapes, and names what it does not search. Exit code 1:
    something is left.
    """
    wish = _forget_wish(person, first, last, shared)
    places = own_places(journal_folder(journal_dir, load_settings()))
    plan = plan_forgetting(wish, places, only_sound=only_sound)
    settings = settings_path()
    named = bool(person) and names_crew(settings, person) and not (first or last or only_sound)
    for line in _lines_before(plan, settings if named else None):
        click.echo(shown_text(line, _LONGEST))
    if dry_run:
        return
    if (plan.files or plan.collected or named) and not yes:
        click.confirm(sentences.CONFIRM_DELETION, abort=True)
    done = carry_out(plan)
    if named and not take_out_crew_name(settings, person):
        done.failed.append((settings, "remove the name from its crew table yourself"))
    for line in _lines_after(plan, done):
        click.echo(shown_text(line, _LONGEST))
    if not done.proven:
        sys.exit(1)


def _forget_wish(person: str, first: datetime | None, last: datetime | None, shared: bool) -> Wish:
    if not person.strip() and not first and not last:
        hint = "callout forget --person NAME, or --since 2026-03-01 --until 2026-03-31, or both"
        raise CalloutError(sentences.FORGET_WHOM, hint)
    if first and last and last < first:
        raise CalloutError(sentences.DAYS_REVERSED, sentences.GIVE_AS_SINCE_AND_UNTIL)
    since = first.astimezone() if first else None
    until = (last + timedelta(days=1)).astimezone() if last else None
    return Wish(person.strip(), since, until, shared)


def _lines_before(plan: Forgetting, settings: Path | None) -> Iterator[str]:
    if plan.files:
        yield sentences.to_be_deleted(_counted_kinds(plan.files))
        yield from _first_lines([str(path) for path in plan.files])
    else:
        yield sentences.NOTHING_TO_DELETE
    for share in plan.collected:
        yield sentences.also_from_collection(share.database, _sessions_of(share))
    if settings:
        yield sentences.name_also_removed_from(settings)
    if plan.wish.person and plan.unnamed:
        yield sentences.journals_name_nobody(plan.unnamed)
    if plan.shared:
        yield sentences.kept_for_others(len(plan.shared))
        yield from _first_lines(sorted(plan.shared))


def _lines_after(plan: Forgetting, done: Forgotten) -> Iterator[str]:
    yield f"Removed: {_counted_kinds(done.removed)}."
    for path in done.rebuilt:
        yield sentences.rewritten_without(path)
    if done.noted:
        yield sentences.notes_removed(done.noted)
    if done.emptied:
        yield sentences.sign_offs_reduced(done.emptied)
    if done.failed:
        yield "Could not be deleted:"
        yield from (f"  {path}: {why}" for path, why in done.failed)
    if plan.only_sound:
        yield sentences.JOURNALS_STAY
        return
    left = done.left
    sought = ([f'"{plan.wish.person}"'] if plan.wish.person else []) + [
        f"{len(plan.sessions)} session names"
    ]
    where = " and ".join(str(root) for root in plan.places.roots)
    yield f"Searched {left.files} files in {where} for {' and '.join(sought)}, {_WRITTEN}:"
    yield from _first_lines([f"{t.path}{_harmless_line(t.line)}: {t.words}" for t in left.traces])
    yield from (f"  {path}: cannot be read, so not checked" for path in left.unread)
    if not left.traces and not left.unread:
        yield "nothing is left in that form."
    yield _NOT_SEARCHED
    yield sentences.COPIES_ELSEWHERE


def _sessions_of(share: CollectedShare) -> str:
    if share.problem:
        return f"not possible now, {share.problem}"
    return f"{len(share.sessions)} sessions and flights"


def _harmless_line(line: int | None) -> str:
    return f", line {line}" if line else ", in its name"


def _counted_kinds(paths: object) -> str:
    found = count_kinds(paths) if isinstance(paths, tuple | list) else {}
    plural = {"index": "indexes"}
    counted = (f"{n} {k if n == 1 else plural.get(k, f'{k}s')}" for k, n in found.items())
    return ", ".join(counted) or "nothing"


def _first_lines(lines: list[str]) -> Iterator[str]:
    yield from (f"  {line}" for line in lines[:_MOST])
    if len(lines) > _MOST:
        yield f"  and {len(lines) - _MOST} more"
