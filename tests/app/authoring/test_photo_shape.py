"""A sheet on a table is cut out of its photograph; the edge of a shadow is no edge of a sheet."""

from __future__ import annotations

import numpy as np
import pytest

from callout.app.authoring.photo_shape import flat_picture

pytest.importorskip("cv2")

SIDE = 1400


def _with_marks(picture: np.ndarray) -> np.ndarray:
    """Return a picture with dark marks all over it, as letters are."""
    made = picture.copy()
    for top in range(200, SIDE - 200, 60):
        for left in range(200, SIDE - 200, 25):
            made[top : top + 14, left : left + 10] *= 0.15
    return made


def _colours(grey: np.ndarray) -> np.ndarray:
    noise = np.random.default_rng(7).normal(0, 3, grey.shape)
    return np.repeat(np.clip(grey + noise, 0, 255).astype(np.uint8)[:, :, None], 3, axis=2)


@pytest.mark.parametrize("steep", [8.0, 16.0, 25.0])
def test_a_shadow_over_half_a_scan_takes_nothing_away(steep: float) -> None:
    across = np.linspace(-0.5, 0.5, SIDE)
    light = 1 - 0.25 / (1 + np.exp(across * steep))
    picture = _colours(_with_marks(np.full((SIDE, SIDE), 250.0) * light[None, :]))
    assert flat_picture(picture).shape == picture.shape


def test_a_sheet_on_a_table_is_cut_out_though_a_shadow_lies_on_it() -> None:
    light = 1 - 0.2 / (1 + np.exp(np.linspace(-0.5, 0.5, SIDE) * 10))
    grey = np.full((SIDE, SIDE), 70.0)
    grey[150 : SIDE - 150, 150 : SIDE - 150] = 250.0
    picture = _colours(_with_marks(grey * light[None, :]))
    height, width, _ = flat_picture(picture).shape
    assert abs(height - (SIDE - 300)) < 20
    assert abs(width - (SIDE - 300)) < 20
