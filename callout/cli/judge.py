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
from callout.core.sentences.commands import command_help
from callout.core.sentences.commands import option_help as sentences


@click.command("judge", short_help=command_help.COMMAND_JUDGE)
@click.argument("reply", required=False)
@click.option("--expect", multiple=True, help=sentences.EXPECT)
@click.option("--against", multiple=True, help=sentences.JUDGE_AGAINST)
@click.option(
    "--wrong",
    multiple=True,
    help=sentences.JUDGE_WRONG,
)
@click.option("--challenge", default="", help=sentences.JUDGE_CHALLENGE)
@click.option("--actual-status", is_flag=True, help=sentences.JUDGE_ACTUAL_STATUS)
@click.option(
    "--as-required", is_flag=True, help='"As required" may lead, with the state after it.'
)
@click.option("--previous", multiple=True, help=sentences.JUDGE_PREVIOUS)
@click.option("--following", multiple=True, help=sentences.JUDGE_FOLLOWING)
@click.option("--other-unit", multiple=True, help=sentences.JUDGE_OTHER_UNIT)
@click.option(
    "--batch",
    type=click.Path(path_type=Path),
    help=sentences.JUDGE_BATCH,
)
@click.option("--json", "as_json", is_flag=True, help=sentences.JUDGE_JSON)
@click.option("--why", is_flag=True, help=sentences.JUDGE_WHY)
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

    Each line of a batch file is an object with "reply" and "expect" (a text or a list of texts); it
    may also give the other options, under the same names. One JSON line is printed for each.
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
