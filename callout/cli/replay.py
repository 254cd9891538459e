"""``callout replay``: a session told again from its journal."""

from __future__ import annotations

from pathlib import Path

import click

from callout.core.debrief.shown import shown_text
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import read_journal
from callout.terminal.telling import journal_lines

_LONGEST = 5_000
"""Characters of a line; what was said is kept word for word."""


@click.command(short_help="Replay a session from its journal.")
@click.argument("journal")
def command(journal: str) -> None:
    """Tell the session kept in JOURNAL again, one line an event, with times in UTC."""
    found = read_journal(Path(journal))
    if not found.records:
        raise JournalDamaged(f"The journal {journal} is empty.", "Nothing was recorded.")
    for line in journal_lines(found.records):
        click.echo(shown_text(line, _LONGEST))
    if found.torn:
        click.echo("(the last line was not finished)")
