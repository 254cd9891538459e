"""``callout debrief``: looks back on one session or flight."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import prints_plainly, report_options, write_all
from callout.core.debrief.session import SessionReport
from callout.core.debrief.shown import shown_text
from callout.core.debrief.spoken import spoken_lines
from callout.core.sentences.commands import answers
from callout.core.sentences.commands import command_help as sentences
from callout.core.sentences.commands import report_options as report_options_sentences


@click.command(epilog=SAFETY, short_help=sentences.COMMAND_DEBRIEF)
@click.argument("session", default="latest")
@report_options
@click.option(
    "--from", "collection", type=click.Path(path_type=Path), help=report_options_sentences.FROM
)
@click.option("--with-sound", is_flag=True, help=report_options_sentences.DEBRIEF_WITH_SOUND)
@click.option("--speak", is_flag=True, help=report_options_sentences.DEBRIEF_SPEAK)
def command(
    session: str,
    plain: bool,
    journal_dir: str | None,
    collection: Path | None,
    speak: bool,
    with_sound: bool,
    **wanted: str | bool | None,
) -> None:
    """Look back on SESSION: "latest", the id of a session or flight, or its journal.

    Reply times are compared with the person's earlier ones in the same folder or
    collection. Journals are only read, never changed.
    """
    from callout.app.reports.collected_debrief import report_from
    from callout.app.reports.debriefing import report_on
    from callout.app.reports.moment_sounds import sound_address
    from callout.reporting.markdown import debrief_markdown
    from callout.reporting.page import debrief_page
    from callout.reporting.tables import csv_text, debrief_json, debrief_rows, json_text

    settings = load_settings()
    if collection and with_sound:
        raise click.UsageError(report_options_sentences.SOUND_IS_IN_JOURNALS)
    folder = journal_folder(journal_dir, settings)
    report = report_from(collection, session) if collection else report_on(session, folder)
    for problem in (*report.problems, *_notes(report)):
        click.echo(f"callout: {shown_text(problem)}", err=True)
    printed = write_all(
        wanted,
        {
            "html": lambda: debrief_page(report, SAFETY, sound_address if with_sound else None),
            "markdown": lambda: debrief_markdown(report, SAFETY),
            "csv": lambda: csv_text(debrief_rows(report), SAFETY),
            "json": lambda: json_text(debrief_json(report), SAFETY),
        },
    )
    if not printed:
        _print_report(report, prints_plainly(plain, settings.plain))
        if not collection:
            _offer_wordings(session, folder, settings.crew_name)
    if speak:
        from callout.app.reports.report_files import say_aloud

        say_aloud(spoken_lines(report), settings)


def _notes(report: SessionReport) -> list[str]:
    return [f"{report.note} {report.note_here}".strip()] if report.note else []


def _offer_wordings(session: str, journals: Path, person: str) -> None:
    """Ask which replies to accept next time; without a terminal, only say how."""
    from callout.app.reports.wording_offers import offers_in
    from callout.app.shared.own_wordings import wordings_of
    from callout.cli.wordings import ask_about

    own = wordings_of(journals, person)
    offers = offers_in(session, journals, own)
    if offers and sys.stdin.isatty() and sys.stdout.isatty():
        ask_about(offers, own)
    elif offers:
        said = ", ".join(f'{one.offer.challenge}: "{one.offer.words}"' for one in offers)
        click.echo(shown_text(answers.probably_right(said), 2000))
        named = "" if session == "latest" else f" {session}"
        click.echo(f"To accept it next time: callout wordings accept{named}")


def _print_report(report: SessionReport, plain: bool) -> None:
    from callout.terminal.debriefing import console_for, debrief_lines, draw_debrief

    if plain:
        for line in debrief_lines(report, SAFETY):
            click.echo(line)
    else:
        draw_debrief(report, SAFETY, console_for(load_settings().colours))
