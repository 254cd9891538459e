"""Colours and charts of the reports."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from callout.reporting.palette import DARK, LIGHT, MARKERS, colour_style, themed_chart
from tests.reporting.kit import report_of, rough

GROUNDS = ("ground", "raised")


def _luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """WCAG 2.2: (L1 + 0.05) / (L2 + 0.05)."""
    low, high = sorted((_luminance(first), _luminance(second)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_values() -> None:
    """WCAG worked values: #767676 on white just passes 4.5:1, #777777 just fails."""
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "muted", "right", "wrong", "unclear", "skipped", "fast"])
def test_text_keeps_its_contrast(colours: dict[str, str], name: str) -> None:
    assert all(contrast(colours[name], colours[ground]) >= 4.5 for ground in GROUNDS)


def test_every_colour_has_a_stand_in_of_its_own_and_none_is_left() -> None:
    assert len(set(MARKERS.values())) == len(LIGHT) == len(DARK)
    drawn = "".join(f'<path style="fill: {m.upper()}; stroke: {m}"/>' for m in MARKERS.values())
    left = themed_chart(drawn)
    assert not re.search(r"#[0-9a-f]{6}", left, re.IGNORECASE)
    assert all(left.count(f"var(--{name})") == 2 for name in LIGHT)
    assert all(f"--{name}: {value};" in colour_style() for name, value in DARK.items())


def test_no_two_kinds_of_moment_share_a_shape() -> None:
    from callout.reporting.session_charts import _SHAPES

    shapes = [shape for shape, _ in _SHAPES.values()]
    assert all(a != b for a, b in combinations(shapes, 2))


def test_a_long_hold_is_drawn_short_and_times_stay_in_order() -> None:
    from callout.reporting.time_axis import axis_knots, axis_ticks

    timeline = report_of(rough(hold=3000.0)).debriefs[0].timeline
    real, drawn = axis_knots(timeline)
    assert real[-1] == pytest.approx(timeline.end)
    assert real == sorted(set(real))
    assert drawn == sorted(set(drawn))
    assert drawn[-1] < 200 < 3000 < real[-1]
    assert all(b <= a + 1e-9 for a, b in zip(real, drawn, strict=True))
    assert len(axis_ticks(timeline, drawn[-1])) < 20


def test_charts_are_bare_elements_in_the_colours_of_the_style() -> None:
    pytest.importorskip("matplotlib")
    from xml.etree import ElementTree

    from callout.reporting.session_charts import timeline_chart, times_chart

    debrief = report_of(rough(challenge="Fuel $\\frac{1}{2}$ <b>")).debriefs[0]
    for chart in (timeline_chart(debrief, 0), times_chart(debrief, 0)):
        root = ElementTree.fromstring(f"<figure>{chart}</figure>")
        drawn = [one for one in root.iter() if one.tag.endswith("svg")]
        assert len(drawn) == 2, "one for wide screens, one for phones"
        assert all(one.attrib["aria-label"] for one in drawn)
        assert not re.search(r"#0[0-9a-f]0[0-9a-f]f[0-9a-f]\b", chart)
        assert "DOCTYPE" not in chart
        assert "metadata" not in chart
        texts = [e.text for e in root.iter() if e.tag.endswith("text")]
        assert "Fuel $\\frac{1}{2}$ <b>" in texts


DEUTERANOPIA = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)
"""Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15:1291 (2009), severity 1; from
memory. On linear sRGB (IEC 61966-2-1)."""
TO_XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.9505, 1.0, 1.089)


def _seen_lab(colour: str) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* of a colour as one sees it who lacks the green receptor."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    for matrix in (DEUTERANOPIA, TO_XYZ):
        linear = [sum(m * v for m, v in zip(row, linear, strict=True)) for row in matrix]
    ratios = [max(0.0, v) / w for v, w in zip(linear, WHITE, strict=True)]
    x, y, z = (
        r ** (1 / 3) if r > (6 / 29) ** 3 else r / (3 * (6 / 29) ** 2) + 4 / 29 for r in ratios
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(
    "pair", [("right", "wrong"), ("wrong", "unclear"), ("right", "unclear"), ("right", "skipped")]
)
def test_verdicts_are_told_apart_without_the_green_receptor(
    colours: dict[str, str], pair: tuple[str, str]
) -> None:
    """Ten times the least difference (2.3 in L*a*b*, Mahy and others 1994) is plain to see."""
    one, other = (_seen_lab(colours[name]) for name in pair)
    assert sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5 >= 23
