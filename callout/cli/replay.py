"""``callout replay``: replays a session from its journal."""

from __future__ import annotations

from pathlib import Path

import click

from callout.core.debrief.shown import shown_text
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import report_answers as sentences
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import read_journal
from callout.terminal.telling import journal_lines

_LONGEST = 5_000
"""Characters of a line; replies are kept word for word."""


@click.command(short_help=command_help.COMMAND_REPLAY)
@click.argument("journal")
def command(journal: str) -> None:
    """Replay the session in JOURNAL, one line for each event, with times in UTC."""
    found = read_journal(Path(journal))
    if not found.records:
        raise JournalDamaged(sentences.journal_has_no_records(journal), sentences.NOTHING_RECORDED)
    for line in journal_lines(found.records):
        click.echo(shown_text(line, _LONGEST))
    if found.torn:
        click.echo("(the last line was not finished)")
