"""``callout doctor``: what is there, what is missing, and what fixes it."""

from __future__ import annotations

import json
import shutil
import textwrap
from typing import TYPE_CHECKING

import click

from callout.core.sentences import doctor as sentences

if TYPE_CHECKING:
    from callout.app.shared.findings import MachineFinding, MachineReport


@click.command("doctor", short_help="Check this machine: what is missing, and how to fix it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> None:
    """Say what a session has to work with here, and how to fix what is missing.

    The exit code is 0 when a session can run in some way; the keyboard and the screen are enough.
    """
    from callout.app.doctor.examination import examine

    report = examine()
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
    lines = [_line(finding, width) for finding in report.findings]
    return "\n".join([*lines, "", conclusion(report)])


def _line(finding: MachineFinding, width: int) -> str:
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


def conclusion(report: MachineReport) -> str:
    """Return what a person can do now, in one sentence."""
    if not report.can_run:
        return sentences.NO_SESSION_CAN_RUN
    replies = "by voice or keyboard" if report.can_hear else "on the keyboard"
    challenges = "read aloud and shown" if report.can_speak else "shown on the screen"
    return sentences.session_can_run(challenges, replies)
