"""``callout new``: make a list from a text, a table, or questions."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY
from callout.core.model.checklist import Method, Phase
from callout.errors import ChecklistInvalid
from callout.outlet import save_text

if TYPE_CHECKING:
    from callout.core.formats.drafts import Draft, DraftItem


@click.command(
    "new", epilog=SAFETY, short_help="Make a list from text, a table, or your answers to questions."
)
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path),
    help="Text, Markdown, CSV or spreadsheet to read (otherwise you are asked).",
)
@click.option("--title", help="Name of the list.")
@click.option("--phase", type=click.Choice([p.value for p in Phase]), help="Phase of flight.")
@click.option(
    "--method", type=click.Choice([m.value for m in Method]), help="Method of working the list."
)
@click.option("--no-comments", is_flag=True, help="Leave out the comments that teach the format.")
@click.option("--replace", "force", is_flag=True, help="Replace FILE if it exists.")
def command(
    file: Path,
    source: Path | None,
    title: str | None,
    phase: str | None,
    method: str | None,
    no_comments: bool,
    force: bool,
) -> None:
    """Write a new list to FILE, with comments that teach the format, and check it.

    \b
    callout new before-start.yaml --from before-start.txt
    callout new before-start.yaml
    """
    from callout.app.list_files.importing import draft_from_file
    from callout.core.formats.draft_yaml import yaml_of

    if file.exists() and not force:
        hint = "Choose another name, or use --replace."
        raise ChecklistInvalid(f"{file} is already there.", hint)
    draft = draft_from_file(source) if source else _interview_person(title, phase)
    draft = replace(
        draft,
        title=title or draft.title,
        phase=Phase(phase) if phase else draft.phase,
        method=Method(method) if method else draft.method,
    )
    _write_list(file, yaml_of(draft, teach=not no_comments), len(draft.items))


def _write_list(file: Path, text: str, count: int) -> None:
    from callout.app.list_files.checking import check_paths

    save_text(file, text, folders=True)
    click.echo(f"{file}: {count} {'item' if count == 1 else 'items'} written.")
    findings = check_paths([file])[0].findings
    for finding in findings:
        click.echo(f"  line {finding.line}: {finding.message} [{finding.rule}]")
        click.echo(f"    {finding.hint}")
    if any(finding.severity.value == "error" for finding in findings):
        sys.exit(2)
    click.echo("Next: edit it, then `callout check` and `callout show` it.")


def _interview_person(title: str | None, phase: str | None) -> Draft:
    from callout.core.formats.drafts import Draft, DraftSection, phase_of

    click.echo(
        "A new list. An empty answer finishes it; Ctrl-C leaves without writing anything.\\n"
    )
    name = title or click.prompt("Name of the list", type=str).strip()
    usual = phase or phase_of(name).value
    chosen = phase or click.prompt(
        "Phase of flight", default=usual, type=click.Choice([p.value for p in Phase])
    )
    items: list[DraftItem] = []
    while item := _ask_item(len(items) + 1):
        items.append(item)
    if not items:
        raise ChecklistInvalid("Nothing was written.", "A list needs at least one item.")
    call = click.prompt("Completion call", default=f"{name.casefold()} checklist complete")
    return Draft(name, (DraftSection("", tuple(items)),), Phase(chosen), completion_call=call)


def _ask_item(number: int) -> DraftItem | None:
    from callout.core.formats.draft_text import reply_alternatives
    from callout.core.formats.drafts import DraftItem

    challenge = click.prompt(f"{number}. Challenge", default="", show_default=False).strip()
    if not challenge:
        return None
    right = click.prompt("   Right reply (a / b for two wordings)").strip()
    wrong = click.prompt("   Wrong reply to name (if any)", default="", show_default=False).strip()
    critical = click.confirm("   Critical", default=False)
    return DraftItem(challenge, reply_alternatives(right), reply_alternatives(wrong), critical)
