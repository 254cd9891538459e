"""``callout bench hearing``: how well replies are heard, and what is wrongly accepted as one."""

from __future__ import annotations

import json
import platform
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import click

from callout.app.listening.engines import ENGINES, open_recogniser
from callout.bench.corpora import CorpusKind, CorpusRecording, human_recordings, noise_name
from callout.bench.hearing_report import draw_trade_off, figure_lines, hearing_figures
from callout.bench.hearing_trials import Bench, HearingTrial
from callout.bench.levels import level_changes
from callout.bench.own_voice import own_voice_over
from callout.core.sentences.commands import benches as sentences

SNRS = (None, 20.0, 10.0, 5.0)
SHARED = Path("..") / "shared" / "speech"
SPEECH = click.option(
    "--speech",
    type=click.Path(path_type=Path),
    default=SHARED,
    show_default=True,
    help=sentences.SPEECH,
)
"""Where the recordings are: the same for every measure of hearing."""


PARTS = ("words", "noises", "synthetic", "challenges", "levels", "own-voice")
"""Parts that can be run alone."""
THINNED = 8
"""In a full run, every so many-th reply is mixed with the tool's voice: 18 hearings each."""


@dataclass(slots=True)
class Results:
    """All trials of a run, by condition."""

    trials: list[HearingTrial] = field(default_factory=list)


@click.command("hearing", short_help=sentences.BENCH_HEARING)
@SPEECH
@click.option("--every", default=1, show_default=True, help=sentences.EVERY)
@click.option("--engine", type=click.Choice(ENGINES), default="embedded", show_default=True)
@click.option("--json-file", type=click.Path(path_type=Path), help=sentences.JSON_FILE)
@click.option("--plot", type=click.Path(path_type=Path), help=sentences.HEARING_PLOT)
@click.option("--trials", type=click.Path(path_type=Path), help=sentences.HEARING_TRIALS)
@click.option("--skip-synthetic", is_flag=True, help=sentences.HEARING_SKIP_SYNTHETIC)
@click.option(
    "--only",
    type=click.Choice(PARTS),
    multiple=True,
    help=sentences.HEARING_ONLY,
)
def command(
    speech: Path,
    every: int,
    engine: str,
    json_file: Path | None,
    plot: Path | None,
    trials: Path | None,
    skip_synthetic: bool,
    only: tuple[str, ...],
) -> None:
    """Hear recordings through the live path and count what a session would have made of them."""
    bench = Bench(open_recogniser(engine))
    results = Results()
    left_out = {"synthetic", "challenges", "own-voice"} if skip_synthetic else set()
    for part in PARTS:
        if part in (only or PARTS) and part not in left_out:
            thinned = THINNED if part == "own-voice" and not only else 1
            _run(part, bench, results, list(human_recordings(speech, every * thinned)))
    found = hearing_figures(results.trials)
    found["machine"] = f"{platform.machine()}, {platform.python_version()}"
    for line in figure_lines(found):
        click.echo(line)
    if trials:
        _write_trials(trials, results.trials)
    if json_file:
        json_file.write_text(json.dumps(found, indent=1) + "\n", "utf-8")
    if plot:
        draw_trade_off(results.trials, plot)


def _run(part: str, bench: Bench, results: Results, recordings: list[CorpusRecording]) -> None:
    match part:
        case "words":
            _human(bench, results, recordings)
        case "noises":
            results.trials += bench.noises()
        case "synthetic":
            results.trials += bench.synthetic()
        case "challenges":
            results.trials += bench.own_voice()
        case "levels":
            _levels(bench, results, [r for r in recordings if r.kind is not CorpusKind.NOISE])
        case "own-voice":
            replies = [r for r in recordings if r.kind is CorpusKind.REPLY]
            results.trials += own_voice_over(bench, replies)
            click.echo(f"own voice: {len(replies)} recordings", err=True)


def _levels(bench: Bench, results: Results, recordings: list[CorpusRecording]) -> None:
    for change in level_changes():
        results.trials += bench.changed(recordings, change)
        click.echo(f"{change.name}: {len(recordings)} recordings", err=True)


def _human(bench: Bench, results: Results, recordings: list[CorpusRecording]) -> None:
    for snr in SNRS:
        name = noise_name(snr)
        kept = [r for r in recordings if snr is None or r.kind is not CorpusKind.NOISE]
        results.trials += bench.human(kept, snr, name)
        click.echo(f"{name}: {len(kept)} recordings", err=True)
    results.trials += bench.two_tries([r for r in recordings if r.kind is CorpusKind.REPLY])


def _write_trials(path: Path, trials: Iterable[HearingTrial]) -> None:
    with path.open("w", encoding="utf-8") as file:
        for trial in trials:
            plain: dict[str, Any] = asdict(trial) | {"kind": trial.kind.value}
            file.write(json.dumps(plain) + "\n")
