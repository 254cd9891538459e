"""``callout new``: make a list from paper, a text, a table, or questions."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.cli.main import SAFETY
from callout.core.authoring.guesses import Doubt
from callout.core.debrief.shown import shown_text
from callout.core.model.checklist import Method, Phase
from callout.core.sentences import authoring as say
from callout.core.sentences.commands import answers, command_help
from callout.core.sentences.commands import list_options as sentences
from callout.errors import ChecklistInvalid
from callout.outlet import save_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from callout.core.authoring.asking import Question
    from callout.core.authoring.guesses import Guess, Reading
    from callout.core.formats.drafts import Draft, DraftItem


@click.command("new", epilog=SAFETY, short_help=command_help.COMMAND_NEW)
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path),
    help=sentences.NEW_FROM,
)
@click.option("--title", help=sentences.NEW_TITLE)
@click.option("--phase", type=click.Choice([p.value for p in Phase]), help=sentences.NEW_PHASE)
@click.option("--method", type=click.Choice([m.value for m in Method]), help=sentences.NEW_METHOD)
@click.option(
    "--pictures",
    type=click.Path(path_type=Path),
    help=sentences.NEW_PICTURES,
)
@click.option("--no-questions", is_flag=True, help=sentences.NEW_NO_QUESTIONS)
@click.option("--no-comments", is_flag=True, help=sentences.NEW_NO_COMMENTS)
@click.option("--replace", "force", is_flag=True, help=sentences.NEW_REPLACE)
def command(
    file: Path,
    source: Path | None,
    title: str | None,
    phase: str | None,
    method: str | None,
    pictures: Path | None,
    no_questions: bool,
    no_comments: bool,
    force: bool,
) -> None:
    """Write a new list to FILE, with comments that teach the format, and check it.

    Several lists in one source are written each by itself where FILE is a folder.

    What was not sure in a source is asked once. Without a terminal, or with --no-questions, it is
    marked in FILE with "# ?".

    \b
    callout new before-start.yaml --from before-start.pdf
    callout new before-start.yaml --from card.jpg --pictures card.html
    callout new my-aircraft --from manual.pdf
    callout new before-start.yaml
    """
    from callout.app.authoring.writing import confirmed_draft, list_parts, list_text
    from callout.core.authoring.several import told_apart

    folder = source is not None and (file.is_dir() or not file.suffix)
    if file.exists() and not force and not folder:
        hint = answers.FILE_EXISTS_HINT
        raise ChecklistInvalid(answers.file_exists(file), hint)
    reading = _read_paper(source, pictures, not no_questions) if source else None
    if reading is not None:
        whole = told_apart(reading)
        parts = list_parts(whole, None if phase or method else title)
        if folder or (len(parts) > 1 and _wants_each(parts, file, not no_questions)):
            _write_each(file if folder else file.parent, whole, parts, force, not no_comments)
            return
        reading = whole
        draft = confirmed_draft(reading, title, phase, method)
    else:
        draft = _interview_person(title, phase)
        draft = replace(draft, method=Method(method) if method else None)
    _write_list(file, list_text(draft, teach=not no_comments), len(draft.items), reading)


def _read_paper(source: Path, pictures: Path | None, ask: bool) -> Reading:
    from callout.app.authoring.confirming import change_lines, confirm_doubts
    from callout.app.authoring.guess_page import write_page
    from callout.app.authoring.sources import known_rivals, read_source
    from callout.terminal.guess_table import guess_lines

    ask = ask and sys.stdin.isatty() and sys.stdout.isatty()
    if ask and source.suffix.casefold() not in (".txt", ".md", ".csv"):
        click.echo(say.reading_source(source), err=True)
    found = read_source(source)
    if pictures:
        write_page(pictures, found)
        click.echo(say.pictures_written(pictures))
    if not ask:
        return found.reading
    click.echo("\n".join(guess_lines(found.reading)))
    count = len(found.reading.open_guesses)
    if count:
        click.echo(f"\n{say.to_decide(count)}")
    reading = confirm_doubts(found.reading, known_rivals(), _ask_doubt, _refuse)
    return change_lines(reading, known_rivals(), _ask_words, _refuse)


def _ask_doubt(guess: Guess, number: int, question: Question) -> str:
    from callout.core.authoring.splitting import without_leaders

    where = say.where_stands(guess.origin.page, guess.origin.line)
    click.echo(
        f"\n{say.item_line(number, where, shown_text(without_leaders(guess.origin.text), 60))}"
    )
    shown = shown_text(question.text, 400)
    if question.choices:
        shown = f"{shown} ({' / '.join(question.choices)})"
    usual = question.usual if question.doubt not in (Doubt.LETTERS, Doubt.UNREAD) else ""
    asked = click.wrap_text(f"{shown} [{usual}]" if usual else shown, 78)
    return str(click.prompt(asked, default=usual, show_default=False, prompt_suffix="\n> "))


def _ask_words(question: str) -> str:
    return str(click.prompt(f"\n{question}", default="", show_default=False))


def _refuse(said: str) -> None:
    click.echo(shown_text(said, 400), err=True)


def _wants_each(parts: Sequence[Reading], file: Path, ask: bool) -> bool:
    """Ask whether each of several lists gets its own file; without a terminal they stay one."""
    titles = ", ".join(shown_text(part.title, 40) for part in parts)
    if not (ask and sys.stdin.isatty() and sys.stdout.isatty()):
        click.echo(say.several_as_one(len(parts), titles))
        return False
    return click.confirm(say.ask_each(len(parts), titles, file.parent), default=True)


def _write_each(
    folder: Path, whole: Reading, parts: Sequence[Reading], force: bool, teach: bool
) -> None:
    from callout.app.authoring.writing import confirmed_draft, each_path, list_text

    made = each_path(folder, parts)
    there = [path for path in made if path.exists()]
    if there and not force:
        raise ChecklistInvalid(answers.file_exists(there[0]), say.OTHER_FOLDER)
    _write_flight(made[0], whole)
    for path, part in zip(made, parts, strict=True):
        draft = confirmed_draft(part)
        save_text(path, list_text(draft, teach=teach), folders=True)
        click.echo(say.items_written(path, len(draft.items)))
    _tell_open(whole)
    _tell_findings(made)
    click.echo(say.next_for_folder(folder))


def _write_list(file: Path, text: str, count: int, reading: Reading | None) -> None:
    save_text(file, text, folders=True)
    click.echo(say.items_written(file, count))
    if reading is not None:
        _write_flight(file, reading)
        _tell_open(reading)
    _tell_findings([file])
    click.echo(say.NEXT_STEP)


def _write_flight(file: Path, reading: Reading) -> None:
    from callout.app.authoring.writing import flight_change, write_flight

    change = flight_change(file, reading)
    if change is not None and write_flight(change):
        click.echo(say.flight_written(change.path, ", ".join(change.names)))
    elif change is not None:
        click.echo(say.flight_lines_missing(change.path))
        click.echo("\n".join(change.lines))


def _tell_open(reading: Reading) -> None:
    if reading.open_guesses:
        click.echo(say.left_undecided(len(reading.open_guesses)))


def _tell_findings(files: list[Path]) -> None:
    from callout.app.list_files.checking import check_paths

    found = check_paths(files)
    for result in found:
        for finding in result.findings:
            where = f"{result.path}, line" if len(files) > 1 else "line"
            click.echo(f"  {where} {finding.line}: {finding.message} [{finding.rule}]")
            click.echo(f"    {finding.hint}")
    if any(f.severity.value == "error" for result in found for f in result.findings):
        sys.exit(2)


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
        raise ChecklistInvalid(answers.NOTHING_WRITTEN, answers.NO_ITEMS_ENTERED)
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
