"""``callout bench cards``: invented cards, read in and compared with a person's reading."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from callout.bench.cards.browser_cards import BrowserCard
from callout.bench.cards.decks import DECKS, Card, SetCard
from callout.bench.cards.scoring import Score, score_card
from callout.core.model.counting import counted_noun
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError


@click.command("cards", short_help=sentences.BENCH_CARDS)
@click.option("--deck", type=click.Choice(list(DECKS)), default="first", show_default=True)
@click.option("--only", default="", help=sentences.CARDS_ONLY)
@click.option("--keep", type=click.Path(path_type=Path), help=sentences.CARDS_KEEP)
@click.option("--wrong", is_flag=True, help=sentences.CARDS_WRONG)
def command(deck: str, only: str, keep: Path | None, wrong: bool) -> None:
    """Print invented cards, photograph half of them by simulation, and read them in."""
    scores: dict[str, list[Score]] = {}
    click.echo(
        f"{'card':<10} {'items':>5} {'found':>5} {'exact':>5} {'asked':>5} {'extra':>5} lost marks"
    )
    with tempfile.TemporaryDirectory() as scratch:
        folder = keep or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        for card in DECKS[deck]:
            if not card.name.startswith(only):
                continue
            score = _scored(card, folder)
            scores.setdefault(card.name.split("-")[0], []).append(score)
            counts = (score.items, score.found, score.exact, score.asked, score.invented)
            shown = " ".join(f"{count:>5}" for count in counts)
            marks = f"{score.marks_right}/{score.marks}"
            click.echo(f"{card.name:<10} {shown} {score.lost:>4} {marks:>5}")
            for told in score.wrong if wrong else ():
                click.echo(f"    {told}")
    for kind, found in scores.items():
        _tell_sum(kind, found)


def _scored(card: Card | SetCard | BrowserCard, folder: Path) -> Score:
    from callout.app.authoring.sources import read_source
    from callout.core.authoring.guesses import Reading

    ending, data = card.made()
    path = folder / f"{card.name}{ending}"
    path.write_bytes(data)
    try:
        reading = read_source(path).reading
    except CalloutError as error:
        click.echo(f"{card.name}: {error.message}")
        reading = Reading()
    return score_card(card.text().truths, reading)


def _tell_sum(kind: str, scores: list[Score]) -> None:
    items = sum(s.items for s in scores)
    found, exact = sum(s.found for s in scores), sum(s.exact for s in scores)
    values, lost = sum(s.quantities for s in scores), sum(s.lost for s in scores)
    click.echo(
        f"{kind}: {counted_noun(len(scores), 'card')}, {counted_noun(items, 'item')}; found "
        f"{found / items:.1%}, replies exact {exact / items:.1%}; {lost} of {values} values lost; "
        f"{sum(s.invented for s in scores)} invented; {sum(s.asked for s in scores)} asked; "
        f"marks {sum(s.marks_right for s in scores)} of {sum(s.marks for s in scores)}"
    )
