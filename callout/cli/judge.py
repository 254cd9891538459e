"""Judge a typed reply, or a file of them."""

from __future__ import annotations

from pathlib import Path

import click

from callout.app.list_files.typed_replies import (
    TypedQuestion,
    json_line,
    judge_question,
    questions_in,
)


@click.command("judge", short_help="Judge a typed reply: match, mismatch or unclear.")
@click.argument("reply", required=False)
@click.option("--expect", multiple=True, help="An accepted reply; repeat for several.")
@click.option("--against", multiple=True, help='Replies that would be wrong, such as "off|up".')
@click.option(
    "--wrong",
    multiple=True,
    help='A reply known to be wrong, such as "flaps 15" or "flaps 15: why".',
)
@click.option(
    "--challenge", default="", help="The challenge as spoken; the reply may echo its words."
)
@click.option("--actual-status", is_flag=True, help='A bare "checked" or "set" is not enough.')
@click.option(
    "--as-required", is_flag=True, help='"As required" may lead, with the state after it.'
)
@click.option("--previous", multiple=True, help="An accepted reply of the item before.")
@click.option("--following", multiple=True, help="An accepted reply of the item after.")
@click.option("--other-unit", multiple=True, help='Another unit that will do, such as "inHg".')
@click.option(
    "--batch",
    type=click.Path(path_type=Path),
    help='File of JSON lines to judge; "-" reads standard input.',
)
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
@click.option("--why", is_flag=True, help="Show which words and which rule decided.")
def command(
    reply: str | None,
    batch: Path | None,
    as_json: bool,
    why: bool,
    **options: str | bool | tuple[str, ...],
) -> None:
    """Judge REPLY against what is expected, as a session would.

    Every verdict is a match, a mismatch or unclear; doubt is never a match.

    \b
    callout judge "ten thirteen" --expect "1013 hPa" --why
    callout judge "off" --expect on --json
    callout judge --batch pairs.jsonl

    Each line of a batch file is an object with "reply" and "expect" (a text or a list of texts);
    the other options may stand in it under the same names. One JSON line is printed for each.
    """
    if (batch is None) == (reply is None):
        raise click.UsageError("give either a REPLY to judge or --batch FILE")
    if batch is not None:
        for question in questions_in(batch):
            click.echo(json_line(question, why))
        return
    if not options["expect"]:
        raise click.UsageError("say what is expected: --expect PHRASE")
    question = TypedQuestion.from_options(reply or "", options)
    if as_json:
        click.echo(json_line(question, why))
        return
    found = judge_question(question)
    click.echo(f"{found.verdict.value}: {found.reason}")
    if why:
        for line in (*found.trace, f"code: {found.code}"):
            click.echo(f"  {line}")
