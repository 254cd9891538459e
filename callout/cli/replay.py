"""``callout replay``: replays a session from its journal."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import journal_dir_option
from callout.core.debrief.moments import moments_of
from callout.core.debrief.shown import shown_text
from callout.core.sentences import kept_sound
from callout.core.sentences.commands import command_help, report_options
from callout.core.sentences.commands import report_answers as sentences
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.sound_files import kept_sounds
from callout.terminal.moment_lines import moment_lines
from callout.terminal.telling import journal_lines

_LONGEST = 5_000
"""Characters of a line; replies are kept word for word."""


@click.command(short_help=command_help.COMMAND_REPLAY)
@click.argument("journal")
@click.option("--slips", is_flag=True, help=report_options.REPLAY_SLIPS)
@click.option("--play", "numbers", type=int, multiple=True, help=report_options.REPLAY_PLAY)
@journal_dir_option
def command(journal: str, slips: bool, numbers: tuple[int, ...], journal_dir: str | None) -> None:
    """Replay the session in JOURNAL, one line for each event, with times in UTC.

    JOURNAL: a journal, "latest", or the id of a session or flight. A reply whose sound was kept has
    a number; --play plays it.
    """
    found = read_journal(_place_of(journal, journal_folder(journal_dir, load_settings())))
    if not found.records:
        raise JournalDamaged(sentences.journal_has_no_records(journal), sentences.NOTHING_RECORDED)
    if numbers:
        _play(found, numbers)
        return
    for line in _slip_lines(found) if slips else _lines(found):
        click.echo(shown_text(line, _LONGEST))
    if found.torn:
        click.echo("(the last line was not finished)")


def _place_of(journal: str, folder: Path) -> Path:
    from callout.app.reports.debriefing import journals_of

    path = Path(journal)
    named = path.suffix == ".jsonl" or path.exists()
    return path if named else journals_of(journal, folder)[0]


def _lines(found: JournalRead) -> Iterator[str]:
    sounds = kept_sounds(found.path)
    for record, line in zip(found.records, journal_lines(found.records), strict=True):
        kept = f"  {kept_sound.sound_number(record.seq)}" if record.seq in sounds else ""
        yield f"{line}{kept}"


def _slip_lines(found: JournalRead) -> Iterator[str]:
    moments = moments_of(found.records)
    yield from moment_lines(moments, kept_sounds(found.path))
    if not moments:
        yield sentences.NO_SLIP


def _play(found: JournalRead, numbers: tuple[int, ...]) -> None:
    from callout.app.reports.moment_sounds import play_aloud, sound_of

    paths = [sound_of(found.path, number) for number in numbers]
    told = dict(zip((r.seq for r in found.records), journal_lines(found.records), strict=True))
    for number, path in zip(numbers, paths, strict=True):
        click.echo(shown_text(told.get(number, path.name), _LONGEST))
        click.echo(f"  {path}")
        play_aloud(path)
