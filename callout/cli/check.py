"""``callout check``: can these files be used, and if not, why."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY

if TYPE_CHECKING:
    from callout.app.checking import Checked, Finding

_NOUNS = {"checklist": "item", "flight": "value", "overlay": "change"}


@click.command("check", epilog=SAFETY)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON line a file.")
@click.option(
    "--print-schema",
    type=click.Choice(["checklist", "flight", "overlay"]),
    help="Print the JSON Schema of a kind of file, for editors, and stop.",
)
def command(paths: tuple[Path, ...], as_json: bool, print_schema: str | None) -> None:
    """Check list, flight and overlay files, or all of them below a folder.

    PATHS may be files or folders [default: checklists/, else here]. The exit code is 0 when every
    file can be used, else 2.
    """
    if print_schema:
        from callout.app.schemas import schema_text

        click.echo(schema_text(print_schema), nl=False)
        return
    from callout.app.checking import check_paths, total

    usual = Path("checklists") if Path("checklists").is_dir() else Path()
    checked = check_paths(paths or (usual,))
    for file in checked:
        click.echo(_json(file) if as_json else _text(file))
    errors, warnings = total(checked)
    if not as_json and len(checked) != 1:
        found = f"{_counted(errors, 'error')}, {_counted(warnings, 'warning')}"
        click.echo(f"{_counted(len(checked), 'file')}, {found}")
    sys.exit(2 if errors else 0)


def _text(file: Checked) -> str:
    if not file.findings:
        return f"{file.path}: {_counted(file.items, _NOUNS[file.kind.value])}, ok"
    return "\n".join(_finding_text(finding) for finding in file.findings)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _finding_text(finding: Finding) -> str:
    where = f"{finding.file}, line {finding.line}"
    head = finding.message if finding.rule == "file" else f"{where}: {finding.message}"
    place = f" ({finding.path})" if finding.path else ""
    hint = f"\n    {finding.hint}" if finding.hint else ""
    return f"{finding.severity.value}: {head}{place}{hint}"


def _json(file: Checked) -> str:
    findings = [{**asdict(f), "severity": f.severity.value} for f in file.findings]
    report = {"file": str(file.path), "kind": file.kind.value, "items": file.items}
    return json.dumps({**report, "ok": not file.errors, "findings": findings}, ensure_ascii=False)
