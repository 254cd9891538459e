"""``callout wordings``: replies in your own words that are accepted from now on."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

import click

from callout.app.reports.wording_offers import SessionOffer, offers_in
from callout.app.shared.own_wordings import Did, OwnWording, WordingPlace, Wordings, wordings_of
from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.cli._options import warn_about
from callout.cli._report_options import journal_dir_option
from callout.core.debrief.shown import shown_text
from callout.core.sentences.commands import answers as sentences
from callout.core.sentences.commands import command_help, list_options
from callout.errors import CalloutError

_PERSON = click.option("--person", default="", metavar="NAME", help=list_options.PERSON)


@click.group("wordings", epilog=SAFETY, short_help=command_help.COMMAND_WORDINGS)
def command() -> None:
    """Accept your own wording of a reply, list what you have accepted, or revoke it.

    Each wording is one line in an overlay file of yours, which run, fly and drill use. A contrary
    state, or a wrong number, side or negation, is never accepted; at a critical item you are asked
    twice.
    """


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_WORDINGS_REVIEW)
@click.argument("session", default="latest")
@_PERSON
@journal_dir_option
def accept(session: str, person: str, journal_dir: str | None) -> None:
    """Go through the replies of SESSION that you meant but callout did not accept.

    SESSION: "latest", the id of a session or flight, or its journal. Only replies that were
    followed by the right one are offered. What you decline is not offered again.
    """
    own, journals = _own_wordings(person, journal_dir)
    offers = offers_in(session, journals, own)
    if not offers:
        click.echo(sentences.NO_WORDING_TO_ACCEPT)
    ask_about(offers, own)


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_WORDINGS_ACCEPT)
@click.argument("checklist")
@click.argument("item")
@click.argument("reply")
@_PERSON
@journal_dir_option
def add(checklist: str, item: str, reply: str, person: str, journal_dir: str | None) -> None:
    """Accept REPLY at ITEM of CHECKLIST from now on: add before-start doors "shut and locked"."""
    from callout.app.running.single_list import load_setting
    from callout.app.shared.naming import list_file
    from callout.app.shared.tables import default_tables
    from callout.core.understanding.own_wordings import why_not

    own, journals = _own_wordings(person, journal_dir)
    setting, about = load_setting(str(list_file(checklist)), None, (), journals, load_settings())
    plan = setting.plan({}, default_tables())
    at = plan.index(item)
    if at is None:
        names = ", ".join(one.id for one in plan.items)
        raise CalloutError(sentences.has_no_item(plan.title, item), sentences.its_items(names))
    found, words = plan.items[at], " ".join(reply.split()).lower()
    if found.leads or not found.expectation.accepted:
        fault = (
            f'"{found.challenge}" takes no other wording: the list branches '
            "there, or the item does not apply now."
        )
        raise CalloutError(fault, sentences.ADD_LIST_ITSELF)
    refused = why_not(words, found.expectation, default_tables())
    if refused:
        raise CalloutError(f'"{words}" is not accepted at {found.challenge}. {refused}')
    if found.critical and not confirm_critical(found.challenge, words):
        click.echo(sentences.NOT_ACCEPTED)
        return
    place = WordingPlace(about["aircraft"], plan.list_id, item, words)
    path = own.accept(place, datetime.now().astimezone(), confirmed=found.critical)
    click.echo(f'"{words}" is accepted at {found.challenge} from now on: {path}')


@command.command("list", epilog=SAFETY, short_help=command_help.COMMAND_WORDINGS_SHOW)
@click.option("--log", is_flag=True, help=list_options.WORDINGS_LIST_LOG)
@_PERSON
@journal_dir_option
def show(log: bool, person: str, journal_dir: str | None) -> None:
    """Show your own wordings with their numbers, and who accepted them when."""
    own, _ = _own_wordings(person, journal_dir)
    if log:
        for entry in own.log():
            where = f"{entry.get('aircraft')}, {entry.get('list')}, {entry.get('item')}"
            who = f" by {entry['who']}" if entry.get("who") else ""
            said = f'{entry.get("at")} {entry.get("did")}{who}: {where}: "{entry.get("reply")}"'
            click.echo(shown_text(said))
        return
    kept = _in_force(own)
    for number, one in enumerate(kept, 1):
        click.echo(shown_text(f"{number}. {_wording_line(one)}"))
    if not kept:
        click.echo(sentences.NO_OWN_WORDINGS)


@command.command(epilog=SAFETY, short_help=command_help.COMMAND_WORDINGS_REVOKE)
@click.argument("numbers", nargs=-1, required=True, type=click.IntRange(min=1))
@_PERSON
@journal_dir_option
def revoke(numbers: tuple[int, ...], person: str, journal_dir: str | None) -> None:
    """Stop accepting the wordings with these NUMBERS; `callout wordings list` shows them."""
    own, _ = _own_wordings(person, journal_dir)
    kept = _in_force(own)
    for number in numbers:
        if number > len(kept):
            hint = "See them with: callout wordings list"
            raise CalloutError(sentences.no_such_wording(number, len(kept)), hint)
    chosen = [kept[number - 1] for number in set(numbers)]
    for one in sorted(chosen, key=lambda w: (str(w.file), -w.line)):  # lines above stay in place
        own.revoke(one, datetime.now().astimezone())
        click.echo(shown_text(f"Revoked: {_wording_line(one)}"))


def _own_wordings(person: str, journal_dir: str | None) -> tuple[Wordings, Path]:
    settings = load_settings()
    journals = journal_folder(journal_dir, settings)
    return wordings_of(journals, person or settings.crew_name), journals


def _in_force(own: Wordings) -> list[OwnWording]:
    kept, problems = own.in_force()
    for problem in problems:
        warn_about(problem)
    if problems and not kept:
        sys.exit(2)
    return kept


def _wording_line(one: OwnWording) -> str:
    place = one.place
    who = f" by {one.by}" if one.by else ""
    when = f", accepted {one.date}{who}" if one.date else ""
    return f'{place.aircraft}, {place.list_id}, {place.item_id}: "{place.words}"{when}'


def ask_about(offers: Iterable[SessionOffer], own: Wordings) -> None:
    """Ask about each offer; declined ones are not offered again."""
    for one in offers:
        now = datetime.now().astimezone()
        words, item = one.offer.words, one.offer.challenge
        click.echo(shown_text(sentences.said_then_right(one.title, item, words, one.offer.right)))
        if not one.offer.sure:
            click.echo(sentences.UNSURE_REPLY_HINT)
        agreed = click.confirm(sentences.ACCEPT_NEXT_TIME, default=False)
        if agreed and one.offer.critical:
            agreed = confirm_critical(item, words)
        if not agreed:
            own.note(Did.DECLINED, one.place, now, one.session)
            click.echo(sentences.WORDING_DECLINED)
            continue
        path = own.accept(one.place, now, confirmed=one.offer.critical, session=one.session)
        click.echo(f"  Accepted from now on: {path}")


def confirm_critical(item: str, words: str) -> bool:
    """Ask the second question that a critical item needs."""
    click.echo(shown_text(sentences.critical_means_it_is_so(item, words)))
    return click.confirm(sentences.ACCEPT_ANYWAY, default=False)
