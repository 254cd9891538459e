"""``callout doctor``: what is there, what is missing, and what fixes it."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import replace

import click

from callout.app.shared.findings import FindingState, MachineFinding, MachineReport
from callout.core.sentences import doctor as sentences
from callout.core.sentences.commands import command_help, option_help


@click.command("doctor", short_help=command_help.COMMAND_DOCTOR)
@click.option("--json", "as_json", is_flag=True, help=option_help.JSON)
@click.option("--places", is_flag=True, help=option_help.DOCTOR_PLACES)
@click.pass_context
def command(ctx: click.Context, as_json: bool, places: bool) -> None:
    """Show what a session can use on this machine, and how to fix what is missing.

    Exit code 0: a session can run; the keyboard and the screen are enough.
    """
    if places:
        from callout.app.desktop.places import place_lines

        click.echo("\n".join(place_lines()))
        return
    from callout.app.doctor.examination import examine_machine

    report = examine_machine()
    click.echo(_as_json(report) if as_json else _as_text(report))
    ctx.exit(0 if report.can_run else 1)


def _as_json(report: MachineReport) -> str:
    return json.dumps(
        {
            "can_run": report.can_run,
            "replies": "voice or keyboard" if report.can_hear else "keyboard",
            "challenges": "spoken and shown" if report.can_speak else "shown",
            "checks": [
                {"name": f.name, "state": f.state.value, "message": f.message, "fix": f.fix}
                for f in report.findings
            ],
        },
        indent=2,
    )


def _as_text(report: MachineReport) -> str:
    width = max(len(f.name) for f in report.findings)
    lines = [_finding_line(finding, width) for finding in _each_once(report.findings)]
    return "\n".join([*lines, "", doctor_conclusion(report)])


def _each_once(findings: Iterable[MachineFinding]) -> Iterator[MachineFinding]:
    """Yield the findings; a fix already shown is only referred to."""
    lacking: dict[str, MachineFinding] = {}
    for finding in findings:
        known = next((one for said, one in lacking.items() if said in finding.message), None)
        if known:
            message = finding.message.replace(known.message, sentences.see_above(known.name))
            fix = "" if finding.fix == known.fix else finding.fix
            yield replace(finding, message=message, fix=fix)
            continue
        if finding.state is not FindingState.READY and finding.fix:
            lacking[finding.message] = finding
        yield finding


def _finding_line(finding: MachineFinding, width: int) -> str:
    head = f"{finding.state.value:8} {finding.name:{width}}  "
    indent = " " * len(head)
    columns = max(60, min(120, shutil.get_terminal_size((100, 24)).columns))
    body = textwrap.fill(
        finding.message,
        columns,
        initial_indent=head,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    if not finding.fix:
        return body
    return f"{body}\n{indent}fix: {finding.fix}"


def doctor_conclusion(report: MachineReport) -> str:
    """Return what a person can do now, in one sentence."""
    if not report.can_run:
        return sentences.NO_SESSION_CAN_RUN
    replies = "by voice or keyboard" if report.can_hear else "on the keyboard"
    challenges = "read aloud and shown" if report.can_speak else "shown on the screen"
    return sentences.session_can_run(challenges, replies)
