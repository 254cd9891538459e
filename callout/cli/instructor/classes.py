"""``callout instructor class``, with its notes and agreed actions."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path

import click

from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import journal_dir_option
from callout.core.debrief.shown import shown_text
from callout.core.instructor.agreeing import ClassEntry, EntryKind, Standard
from callout.core.sentences import classes as sentences
from callout.core.sentences.commands import command_help, report_answers, report_options

_FOLDER = click.Path(path_type=Path)
_BY = click.option("--by", required=True, metavar="NAME", help=report_options.BY)


@click.command("class", epilog=SAFETY, short_help=command_help.COMMAND_CLASS)
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--from", "collection", type=_FOLDER, help=report_options.FROM)
@click.option("--school", metavar="NAME", default="", help=report_options.CLASS_SCHOOL)
@click.option("--html", metavar="FILE", help=report_options.CLASS_HTML)
@click.option("--json", "as_json", is_flag=True, help=report_options.JSON)
@journal_dir_option
def class_command(
    folders: tuple[Path, ...], collection: Path | None, school: str, html: str | None,
    as_json: bool, journal_dir: str | None,
) -> None:  # fmt: skip
    """Show, before a lesson, the people whose journals are in FOLDERS.

    Faults of the lists, which catch nearly everybody, are shown apart from people's own errors.
    Notes and agreed actions come back until they are settled; they are kept with your own journals.

    \b
    callout instructor class trainees/* --html class.html
    callout instructor agree "Ada Finch" "Say the setting, not: set" --by "Ben Rook"
    """
    from callout.app.reports.agreements import entries_in
    from callout.app.reports.class_report import class_of
    from callout.app.reports.class_sources import people_of
    from callout.app.reports.report_files import write_report
    from callout.reporting.class_page import class_json, class_lines, class_page
    from callout.reporting.tables import json_text
    from callout.terminal.plain import fitted_lines

    if bool(folders) == bool(collection):
        raise click.UsageError(report_answers.NAME_FOLDERS_OR_FROM)
    log = entries_in(journal_folder(journal_dir, load_settings()))
    for bad in log.bad:
        click.echo(f"callout: line {bad.number} of the notes is damaged: {bad.why}.", err=True)
    with people_of(folders, collection, school) as (people, problems):
        report = class_of(people, log.entries, problems)
    for problem in report.problems:
        click.echo(f"callout: {shown_text(problem)}", err=True)
    today = datetime.now(UTC).date()
    if html:
        write_report(html, lambda: class_page(report, today, SAFETY))
        click.echo(f"Written: {html}", err=as_json)
    if as_json:
        click.echo(json_text(class_json(report), SAFETY), nl=False)
    elif not html:
        for line in fitted_lines(map(shown_text, class_lines(report, today, SAFETY)), sys.stdout):
            click.echo(line)


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_NOTE)
@click.argument("trainee")
@click.argument("words")
@_BY
@journal_dir_option
def note(trainee: str, words: str, by: str, journal_dir: str | None) -> None:
    """Note WORDS about TRAINEE; they come back on the class page."""
    _told(_write(journal_dir, by, EntryKind.NOTE, trainee=trainee, text=words))


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_AGREE)
@click.argument("trainee")
@click.argument("action")
@click.option(
    "--due", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", help=report_options.AGREE_DUE
)
@_BY
@journal_dir_option
def agree(
    trainee: str, action: str, due: datetime | None, by: str, journal_dir: str | None
) -> None:
    """Record ACTION as agreed with TRAINEE; it comes back until it is settled."""
    day = due.date() if due else None
    _told(_write(journal_dir, by, EntryKind.ACTION, trainee=trainee, text=action, due=day))


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_SETTLE)
@click.argument("number", type=int)
@click.option("--words", default="", help=report_options.SETTLE_WORDS)
@_BY
@journal_dir_option
def settle(number: int, words: str, by: str, journal_dir: str | None) -> None:
    """Settle action NUMBER, done or no longer wanted."""
    from callout.app.reports.agreements import settle_action

    folder = journal_folder(journal_dir, load_settings())
    settle_action(folder, number, by, datetime.now(UTC), words)
    click.echo(sentences.settled(number))


@click.command(epilog=SAFETY, short_help=command_help.COMMAND_STANDARD)
@click.option("--at-most", "percent", type=click.FloatRange(0, 100), required=True,
              help=report_options.STANDARD_AT_MOST)  # fmt: skip
@click.option("--critical", type=click.IntRange(0), default=0, show_default=True,
              help=report_options.STANDARD_CRITICAL)  # fmt: skip
@click.option("--latest", type=click.IntRange(1), default=20, show_default=True,
              help=report_options.STANDARD_LATEST)  # fmt: skip
@_BY
@journal_dir_option
def standard(percent: float, critical: int, latest: int, by: str, journal_dir: str | None) -> None:
    """Choose the standard for everybody's latest sessions; it holds until you choose another."""
    chosen = Standard(percent, critical, latest)
    _told(_write(journal_dir, by, EntryKind.STANDARD, standard=chosen))


def _write(
    journal_dir: str | None, by: str, kind: EntryKind, *, trainee: str = "", text: str = "",
    due: date | None = None, standard: Standard | None = None,
) -> ClassEntry:  # fmt: skip
    from callout.app.reports.agreements import write_entry

    folder = journal_folder(journal_dir, load_settings())
    now = datetime.now(UTC)
    return write_entry(folder, by, kind, now, trainee=trainee, text=text, due=due,
                       standard=standard)  # fmt: skip


def _told(entry: ClassEntry) -> None:
    click.echo(shown_text(sentences.noted(entry.number, entry.kind.value, entry.trainee)))


COMMANDS = (class_command, note, agree, settle, standard)
