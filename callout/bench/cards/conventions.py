"""``callout bench conventions``: pages set by conventions drawn at random, and what is read."""

from __future__ import annotations

from collections import defaultdict

import click

from callout.app.authoring.sources import known_rivals
from callout.bench.cards.invented_pages import invented_page
from callout.bench.cards.scoring import score_card
from callout.core.authoring.accounting import accounted
from callout.core.authoring.furniture import leave_out_furniture
from callout.core.authoring.guesses import Reading
from callout.core.authoring.reading import read_rows
from callout.core.authoring.rows import page_rows
from callout.core.paper.page import Page
from callout.core.sentences.commands import benches as sentences
from callout.core.weighing.choosing import best_rows


@click.command("conventions", short_help=sentences.BENCH_CONVENTIONS)
@click.option("--pages", default=200, type=click.IntRange(1), show_default=True)
@click.option("--first", default=0, help=sentences.FIRST_SEED)
@click.option("--usual", is_flag=True, help=sentences.CONVENTIONS_USUAL)
def command(pages: int, first: int, usual: bool) -> None:
    """Read pages whose convention is drawn at random, and compare with what was set."""
    sums: dict[str, list[int]] = defaultdict(lambda: [0] * 6)
    for seed in range(first, first + pages):
        name, page, truths = invented_page(seed)
        score = score_card(truths, _read(page, usual=usual))
        counts = (score.items, score.found, score.exact, score.quantities, score.lost)
        for key in (name, "all"):
            for at, count in enumerate((*counts, score.invented)):
                sums[key][at] += count
    for key in sorted(sums, key=lambda one: (one == "all", one)):
        items, found, exact, values, lost, invented = sums[key]
        click.echo(
            f"{key}: {items} items; found {found / items:.1%}, replies exact {exact / items:.1%}; "
            f"{lost} of {values} values lost; {invented} invented"
        )


def _read(page: Page, *, usual: bool) -> Reading:
    rows = page_rows(page) if usual else best_rows((page,), known_rivals())
    kept, _ = leave_out_furniture((page,), rows)
    return accounted(read_rows(kept, known_rivals()), kept, (page,))
