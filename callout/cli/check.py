"""``callout check``: whether files can be used, whether they will work in use, and why not."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import list_options as sentences

if TYPE_CHECKING:
    from callout.app.list_files.checking import Checked, ItemCheck
from callout.core.lint.finding import ListFinding

_NOUNS = {"checklist": "item", "flight": "value", "overlay": "change"}


@click.command("check", epilog=SAFETY, short_help=command_help.COMMAND_CHECK)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help=sentences.JSON)
@click.option("--sarif", is_flag=True, help=sentences.CHECK_SARIF)
@click.option("--strict", is_flag=True, help=sentences.CHECK_STRICT)
@click.option("--fix", is_flag=True, help=sentences.CHECK_FIX)
@click.option("--recogniser", is_flag=True, help=sentences.CHECK_RECOGNISER)
@click.option(
    "--by-ear",
    is_flag=True,
    help=sentences.CHECK_BY_EAR,
)
@click.option("--notes", is_flag=True, help=sentences.CHECK_NOTES)
@click.option("--rules", is_flag=True, help=sentences.CHECK_RULES)
@click.option(
    "--print-schema",
    type=click.Choice(["checklist", "flight", "overlay"]),
    help=sentences.CHECK_PRINT_SCHEMA,
)
def command(
    paths: tuple[Path, ...],
    as_json: bool,
    sarif: bool,
    strict: bool,
    fix: bool,
    recogniser: bool,
    by_ear: bool,
    notes: bool,
    rules: bool,
    print_schema: str | None,
) -> None:
    """Check lists, flight data and overlays: single files, or all those in a folder.

    PATHS: files, folders or names of shipped lists [default: checklists/, else this folder]. Exit
    code 0: every file can be used; 2: one cannot; with --strict, 1: there are warnings. A list or
    an item may break a rule if it gives a reason: `allow: {same-response: why}`.
    """
    if print_schema:
        from callout.app.list_files.schemas import schema_text

        click.echo(schema_text(print_schema), nl=False)
        return
    if rules:
        _print_rules()
        return
    from callout.app.list_files.checking import count_findings

    checked = _check_paths(paths, fix, recogniser, by_ear, notes)
    errors, warnings = count_findings(checked)
    if sarif:
        from callout.app.list_files.sarif import sarif_text

        click.echo(sarif_text(checked))
    else:
        for file in checked:
            click.echo(_json_line(file) if as_json else _shown_finding(file))
    if not (as_json or sarif) and len(checked) != 1:
        found = f"{_counted_noun(errors, 'error')}, {_counted_noun(warnings, 'warning')}"
        click.echo(f"{_counted_noun(len(checked), 'file')}, {found}")
    sys.exit(2 if errors else 1 if strict and warnings else 0)


def _check_paths(
    paths: tuple[Path, ...], fix: bool, recogniser: bool, by_ear: bool, notes: bool
) -> list[Checked]:
    from callout.app.list_files.checking import check_paths
    from callout.app.shared.naming import file_or_folder

    usual = Path("checklists") if Path("checklists").is_dir() else Path()
    chosen = paths or (usual,)
    if fix:  # shipped files are not to be changed, so no names
        _fix_paths(chosen)
    else:
        chosen = tuple(map(file_or_folder, chosen))
    with _further_checks(recogniser, by_ear) as further:
        return check_paths(chosen, further, notes or by_ear)


@contextmanager
def _further_checks(recogniser: bool, by_ear: bool) -> Iterator[ItemCheck | None]:
    """Yield the additional checks of each item."""
    checks: list[ItemCheck] = []
    with ExitStack() as stack:
        if recogniser:
            from callout.app.listening.unknown_words import unknown_words_check

            checks.append(unknown_words_check())
        if by_ear:
            from callout.app.listening.by_ear import ByEar

            checks.append(stack.enter_context(closing(ByEar())).check)
        yield (lambda *item: chain.from_iterable(one(*item) for one in checks)) if checks else None


def _fix_paths(paths: tuple[Path, ...]) -> None:
    from callout.app.list_files.checking import check_paths
    from callout.app.list_files.fixing import fix_file

    for file in check_paths(paths):
        for line in fix_file(file.path, lambda path: check_paths([path])[0].findings):
            click.echo(f"fixed: {line}", err=True)


def _print_rules() -> None:
    from callout.app.list_files.sarif import EVERY_RULE, OTHER_RULES

    for rule in EVERY_RULE:
        click.echo(f"{rule.id} ({rule.severity.value})\n    {rule.reason}\n    {rule.source}")
    for name, reason in OTHER_RULES.items():
        click.echo(f"{name}\n    {reason}")


def _shown_finding(file: Checked) -> str:
    if not file.findings:
        return f"{file.path}: {_counted_noun(file.items, _NOUNS[file.kind.value])}, ok"
    return "\n".join(_finding_text(finding) for finding in file.findings)


def _counted_noun(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _finding_text(finding: ListFinding) -> str:
    where = f"{finding.file}, line {finding.line}"
    head = finding.message if finding.rule == "file" else f"{where}: {finding.message}"
    place = f" ({finding.path})" if finding.path else ""
    hint = f"\n    {finding.hint}" if finding.hint else ""
    return f"{finding.severity.value}: {head}{place} [{finding.rule}]{hint}"


def _json_line(file: Checked) -> str:
    findings = [{**asdict(f), "severity": f.severity.value} for f in file.findings]
    report = {"file": str(file.path), "kind": file.kind.value, "items": file.items}
    return json.dumps({**report, "ok": not file.errors, "findings": findings}, ensure_ascii=False)
