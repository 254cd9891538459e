"""``callout instructor``: several trainees side by side, exports without names, sign-offs."""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from pathlib import Path

import click

from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._report_options import journal_dir_option
from callout.cli.instructor.classes import COMMANDS
from callout.core.debrief.shown import shown_text
from callout.core.instructor.sign_off import Result
from callout.core.sentences import set_up
from callout.core.sentences.commands import command_help, report_answers
from callout.core.sentences.commands import report_options as sentences

_FOLDER = click.Path(path_type=Path)
_REGISTER = click.option(
    "--register",
    type=_FOLDER,
    metavar="FILE",
    help=sentences.REGISTER,
)


@click.group("instructor", epilog=SAFETY, short_help=command_help.COMMAND_INSTRUCTOR)
def command() -> None:
    """Look at several people's journals, agree on what to do, and sign them off."""


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_COMPARE)
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--from", "collection", type=_FOLDER, help=sentences.FROM)
@click.option("--json", "as_json", is_flag=True, help=sentences.JSON)
def compare(folders: tuple[Path, ...], collection: Path | None, as_json: bool) -> None:
    """Compare the trainees whose journals are in FOLDERS.

    A folder may hold the journals of one person or of several crews. The crew name in a journal
    tells them apart; without one, the folder's name does.
    """
    from callout.app.reports.class_sources import collected_facts
    from callout.app.reports.trainees import by_person, read_trainees
    from callout.core.instructor.compare import compare_trainees as side_by_side
    from callout.terminal.comparison import comparison_json, comparison_lines
    from callout.terminal.plain import fitted_lines

    if bool(folders) == bool(collection):
        raise click.UsageError(report_answers.NAME_FOLDERS_OR_FROM)
    if collection:
        groups = by_person(collected_facts(collection).facts)
    else:
        found = read_trainees(folders)
        groups = found.groups
        for problem in found.problems:
            click.echo(f"callout: {problem}", err=True)
    compared = side_by_side(groups)
    if as_json:
        click.echo(json.dumps(comparison_json(compared), ensure_ascii=False, indent=2))
        return
    for line in fitted_lines(map(shown_text, comparison_lines(compared)), sys.stdout):
        click.echo(line)


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_ANONYMISE)
@click.argument("folders", nargs=-1, required=True, type=_FOLDER)
@click.option("--to", required=True, type=_FOLDER, metavar="FOLDER", help=sentences.EXPORT_TO)
@click.option("--salt", type=_FOLDER, metavar="FILE", help=sentences.EXPORT_SALT)
@click.option(
    "--remove-name",
    "names",
    metavar="NAME",
    multiple=True,
    help=sentences.EXPORT_REMOVE_NAME,
)
def export(folders: tuple[Path, ...], to: Path, salt: Path | None, names: tuple[str, ...]) -> None:
    """Copy the journals in FOLDERS without names, remarks and free reasons.

    All counts stay the same. Exports made with the same secret use the same pseudonyms; the secret
    is made on first use and stays on this machine unless you copy it.
    """
    from callout.app.privacy.masking import default_salt, salt_at
    from callout.app.privacy.masking import export_journals as write

    place = salt or default_salt()
    found = write(folders, to, salt_at(place), names)
    for problem in found.problems:
        click.echo(f"callout: {problem}", err=True)
    click.echo(report_answers.journals_exported(found.journals, found.trainees, to))
    click.echo(report_answers.keep_the_secret(place))
    click.echo(report_answers.EXPORT_CAVEAT)
    if found.problems:
        sys.exit(1)


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_SIGN_OFF)
@click.argument("journals", nargs=-1, required=True, type=_FOLDER)
@click.option("--by", "instructor", required=True, metavar="NAME", help=sentences.SIGN_BY)
@click.option("--trainee", required=True, metavar="NAME", help=sentences.SIGN_TRAINEE)
@click.option(
    "--result",
    type=click.Choice([result.value for result in Result]),
    default=Result.SATISFACTORY.value,
    show_default=True,
    help=sentences.SIGN_RESULT,
)
@click.option("--remark", default="", metavar="TEXT", help=sentences.SIGN_REMARK)
@_REGISTER
@journal_dir_option
def sign(
    journals: tuple[Path, ...],
    instructor: str,
    trainee: str,
    result: str,
    remark: str,
    register: Path | None,
    journal_dir: str | None,
) -> None:
    """Sign off the finished sessions in JOURNALS.

    Each sign-off holds the hash of the one before it and of the journals it covers, so any later
    change to either shows.
    """
    from callout.app.reports.signing import SignOffWords, register_in
    from callout.app.reports.signing import sign_off as add

    place = register or register_in(journal_folder(journal_dir, load_settings()))
    said = SignOffWords(instructor, trainee, Result(result), remark)
    record = add(place, journals, said, datetime.now(UTC))
    count = f"{len(journals)} session{'s' if len(journals) > 1 else ''}"
    click.echo(report_answers.signed_off(record.seq, count, trainee, result, instructor))
    click.echo(f"Hash: {record.hash}")
    click.echo(
        "Write the hash down elsewhere: `callout instructor verify --last HASH` then also shows"
    )
    click.echo("whether sign-offs were removed from the end, or all of them remade.")
    click.echo(f"Register: {place}")


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_VERIFY)
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--last", default="", metavar="HASH", help=sentences.VERIFY_LAST)
@_REGISTER
@journal_dir_option
def verify(
    folders: tuple[Path, ...], last: str, register: Path | None, journal_dir: str | None
) -> None:
    """Check that no sign-off and no signed journal has changed since.

    Journals are looked for in FOLDERS, or else in your journal folder. Exit code 1: something has
    changed.
    """
    from callout.app.reports.signing import register_in
    from callout.app.reports.signing import verify_register as check
    from callout.terminal.comparison import finding_line

    own = journal_folder(journal_dir, load_settings())
    place = register or register_in(own)
    found = check(place, folders or (own,), last)
    for finding in found.findings:
        click.echo(shown_text(finding_line(finding)))
    records = found.register.records
    click.echo(report_answers.sign_offs_checked(len(records), found.journals, place))
    if records:
        click.echo(f"Hash of the last: {records[-1].hash}")
    if not found.intact:
        click.echo(report_answers.SOMETHING_CHANGED, err=True)
        sys.exit(1)
    click.echo(set_up.NOTHING_CHANGED)
    if not last:
        click.echo(report_answers.ONLY_LAST_SHOWS)


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_SIGN_OFFS)
@_REGISTER
@journal_dir_option
def signed(register: Path | None, journal_dir: str | None) -> None:
    """List the sign-offs."""
    from callout.app.reports.signing import register_in
    from callout.journal.register import read_register
    from callout.terminal.comparison import sign_off_line

    place = register or register_in(journal_folder(journal_dir, load_settings()))
    found = read_register(place)
    for record in found.records:
        click.echo(shown_text(sign_off_line(record)))
    for bad in found.bad:
        click.echo(f"callout: {place}, line {bad.number} is damaged: {bad.why}.", err=True)
    if not found.records:
        click.echo(report_answers.no_sign_offs_in(place))


for _one in COMMANDS:
    command.add_command(_one)
