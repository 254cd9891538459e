"""``callout bench average``: the mean of acoustic models, row by row, and only of like ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from callout.bench.acoustic.average import command, mean_of
from callout.hearing.embedded.acoustic import pack_weights, unpack_weights
from callout.hearing.embedded.weights import Floats

RNG = np.random.default_rng(3)


def model(rows: int = 5) -> dict[str, Floats]:
    return {
        "head.weight": RNG.normal(0, 1, (rows, 40)).astype(np.float32),
        "head.bias": RNG.normal(0, 1, rows).astype(np.float32),
    }


def written(path: Path, weights: dict[str, Floats]) -> Path:
    packed: dict[str, Any] = pack_weights(weights)
    np.savez_compressed(path, **packed)
    return path


def test_the_mean_is_numpys() -> None:
    one, two, three = model(), model(), model()
    found = mean_of([one, two, three])
    for name in one:
        assert found[name] == pytest.approx((one[name] + two[name] + three[name]) / 3, abs=1e-6)
        assert found[name].dtype == np.float32


def test_a_model_alone_stays_as_it_is() -> None:
    one = model()
    assert all(np.array_equal(mean_of([one, one])[name], one[name]) for name in one)


def test_the_file_is_the_mean_within_a_step_of_eight_bits(tmp_path: Path) -> None:
    models = [model(), model()]
    paths = [str(written(tmp_path / f"{n}.npz", one)) for n, one in enumerate(models)]
    into = tmp_path / "mean.npz"
    assert CliRunner().invoke(command, [*paths, "--into", str(into)]).exit_code == 0
    with into.open("rb") as file:
        found = unpack_weights(file)
    for name, mean in mean_of(models).items():
        assert found[name] == pytest.approx(mean, abs=0.04)


def test_models_of_different_shapes_are_refused_in_one_sentence(tmp_path: Path) -> None:
    paths = [str(written(tmp_path / f"{rows}.npz", model(rows))) for rows in (5, 6)]
    into = tmp_path / "mean.npz"
    result = CliRunner().invoke(command, [*paths, "--into", str(into)])
    assert result.exit_code == 2
    assert "not of one shape" in result.output
    assert not into.exists()
