"""``callout bench average``: one acoustic model from several that began alike, by their mean.

Models trained further from the same weights in different ways make different mistakes; the mean of
their weights makes fewer than each (Wortsman et al., "Model soups", ICML 2022), and costs nothing
to run.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.core.sentences.commands import training as say
from callout.hearing.embedded.acoustic import pack_weights, unpack_weights
from callout.hearing.embedded.weights import Floats


@click.command("average", short_help=say.AVERAGE_MODELS)
@click.argument("models", nargs=-1, required=True, type=click.Path(path_type=Path, exists=True))
@click.option("--into", type=click.Path(path_type=Path), required=True, help=say.AVERAGE_INTO)
def command(models: tuple[Path, ...], into: Path) -> None:
    """Write the mean of acoustic models that began with the same weights.

    For held-out speakers average fold0.npz with fold0.npz, and so on.
    """
    try:
        mean = mean_of([_read(path) for path in models])
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    packed: dict[str, Any] = pack_weights(mean)
    np.savez_compressed(into, **packed)


def mean_of(models: Sequence[dict[str, Floats]]) -> dict[str, Floats]:
    """Return the mean of weights; raises ValueError if they are not of one shape."""
    shapes = [{name: values.shape for name, values in one.items()} for one in models]
    if any(one != shapes[0] for one in shapes):
        raise ValueError(say.NOT_ALIKE)
    return {n: np.mean([one[n] for one in models], axis=0, dtype=np.float32) for n in shapes[0]}


def _read(path: Path) -> dict[str, Floats]:
    with path.open("rb") as file:
        return unpack_weights(file)
