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

_FOLDER = click.Path(path_type=Path)
_REGISTER = click.option(
    "--register",
    type=_FOLDER,
    metavar="FILE",
    help="Register of sign-offs [default: the one in your journal folder].",
)


@click.group(
    "instructor", epilog=SAFETY, short_help="See a class, compare trainees, export, sign off."
)
def command() -> None:
    """Look at several people's journals, agree on what to do, and sign them off."""


@command.command(epilog=SAFETY, short_help="Compare several trainees side by side.")
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option("--from", "collection", type=_FOLDER, help="Read a collection instead of journals.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def compare(folders: tuple[Path, ...], collection: Path | None, as_json: bool) -> None:
    """Put the trainees whose journals are in FOLDERS side by side.

    A folder may hold one person's journals or those of several crews, told apart by the crew
    name that was set (else by the folder's name).
    """
    from callout.app.reports.class_sources import collected_facts
    from callout.app.reports.trainees import by_person, read_trainees
    from callout.core.instructor.compare import compare_trainees as side_by_side
    from callout.terminal.comparison import comparison_json, comparison_lines
    from callout.terminal.plain import fitted_lines

    if bool(folders) == bool(collection):
        raise click.UsageError("Name folders of journals, or a collection with --from.")
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


@command.command(epilog=SAFETY, short_help="Copy journals without names and remarks.")
@click.argument("folders", nargs=-1, required=True, type=_FOLDER)
@click.option("--to", required=True, type=_FOLDER, metavar="FOLDER", help="New folder to write to.")
@click.option(
    "--salt", type=_FOLDER, metavar="FILE", help="File with the secret behind the pseudonyms."
)
@click.option(
    "--remove-name",
    "names",
    metavar="NAME",
    multiple=True,
    help="Another name to remove from all text; may repeat.",
)
def export(folders: tuple[Path, ...], to: Path, salt: Path | None, names: tuple[str, ...]) -> None:
    """Write the journals in FOLDERS anew without names, remarks and free reasons.

    What is counted stays as it was. Pseudonyms are the same in every export made with the same
    secret; it is made on first use and never leaves this machine by itself.
    """
    from callout.app.privacy.masking import default_salt, salt_at
    from callout.app.privacy.masking import export_journals as write

    place = salt or default_salt()
    found = write(folders, to, salt_at(place), names)
    for problem in found.problems:
        click.echo(f"callout: {problem}", err=True)
    click.echo(f"{found.journals} journals of {found.trainees} people are in {to}.")
    click.echo(
        f"Keep the secret {place} to yourself: with it, others can test "
        "whether a pseudonym is a given name."
    )
    click.echo("Dates and times are unchanged. Read a few journals before you hand them on.")
    if found.problems:
        sys.exit(1)


@command.command(epilog=SAFETY, short_help="Sign off finished sessions.")
@click.argument("journals", nargs=-1, required=True, type=_FOLDER)
@click.option("--by", "instructor", required=True, metavar="NAME", help="Who signs off.")
@click.option("--trainee", required=True, metavar="NAME", help="Trainee whose sessions these are.")
@click.option(
    "--result",
    type=click.Choice([result.value for result in Result]),
    default=Result.SATISFACTORY.value,
    show_default=True,
    help="The instructor's conclusion.",
)
@click.option("--remark", default="", metavar="TEXT", help="Remark to keep with the sign-off.")
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

    Each sign-off holds the hash of the one before it and of the journals it covers, so that a
    later change of either shows.
    """
    from callout.app.reports.signing import SignOffWords, register_in
    from callout.app.reports.signing import sign_off as add

    place = register or register_in(journal_folder(journal_dir, load_settings()))
    said = SignOffWords(instructor, trainee, Result(result), remark)
    record = add(place, journals, said, datetime.now(UTC))
    count = f"{len(journals)} session{'s' if len(journals) > 1 else ''}"
    click.echo(f"Sign-off {record.seq}: {count} of {trainee}, {result}, by {instructor}.")
    click.echo(f"Hash: {record.hash}")
    click.echo(
        "Write the hash down elsewhere: `callout instructor verify --last HASH` then also shows"
    )
    click.echo("whether sign-offs were removed from the end, or all of them remade.")
    click.echo(f"Register: {place}")


@command.command(epilog=SAFETY, short_help="Check that nothing has changed since it was signed.")
@click.argument("folders", nargs=-1, type=_FOLDER)
@click.option(
    "--last", default="", metavar="HASH", help="Hash of a sign-off that you wrote down elsewhere."
)
@_REGISTER
@journal_dir_option
def verify(
    folders: tuple[Path, ...], last: str, register: Path | None, journal_dir: str | None
) -> None:
    """Check that no sign-off, and no journal signed off, was changed since.

    Journals are looked for in FOLDERS, else where yours are kept. Exit code 1: something was.
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
    click.echo(f"{len(records)} sign-offs and {found.journals} journals checked in {place}.")
    if records:
        click.echo(f"Hash of the last: {records[-1].hash}")
    if not found.intact:
        click.echo("Something was changed.", err=True)
        sys.exit(1)
    click.echo("Nothing was changed.")
    if not last:
        click.echo("Only --last HASH can show whether sign-offs are missing at the end.")


@command.command(epilog=SAFETY, short_help="List the sign-offs.")
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
        click.echo(f"There are no sign-offs in {place}.")


for _one in COMMANDS:
    command.add_command(_one)
