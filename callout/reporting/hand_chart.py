"""The path of the hands over the panels in a flow, beside the taught path."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from callout.core.debrief.facts import SessionFact
from callout.core.debrief.shown import shown_text
from callout.core.sentences import reports as sentences
from callout.reporting.charts import chart_colour, draw_chart, put_legend

_HEIGHT = 4.2
_ASIDE = 1.6
"""Centimetres between the two paths, so that both are visible."""


def hand_chart(session: SessionFact, number: int) -> str:
    """Return both paths as SVG; empty if the hands were not seen or the places are unknown."""
    places = {panel: place for panel, place in session.flow_panels if place is not None}
    taught = [panel for panel, _ in session.flow_panels if panel in places]
    gone = [panel for panel in session.hand_way if panel in places]
    if session.hands is None or len(taught) < 2 or not gone:
        return ""

    def paint(axes: Any) -> None:
        _way(axes, [places[p] for p in taught], "as taught", "muted", "o", dashed=True)
        moved = [(x + _ASIDE, y - _ASIDE) for x, y in (places[p] for p in gone)]
        _way(axes, moved, "hands", "right", "s", dashed=False)
        for panel, (x, y) in places.items():
            axes.annotate(
                shown_text(panel), (x, y), textcoords="offset points", xytext=(10, 10),
                color=chart_colour("ink"),
            )  # fmt: skip
        axes.set_xlabel("centimetres right of the left seat")
        axes.set_ylabel("centimetres up")
        axes.margins(0.25)
        put_legend(axes, 2)

    told = sentences.taught_and_hands(
        ", ".join(map(shown_text, taught)), ", ".join(map(shown_text, gone))
    )
    return draw_chart(paint, _HEIGHT, told, f"hands-{number}")


def _way(
    axes: Any,
    places: Sequence[tuple[float, float]],
    label: str,
    hue: str,
    mark: str,
    *,
    dashed: bool,
) -> None:
    across, up = [x for x, _ in places], [y for _, y in places]
    axes.plot(
        across, up, color=chart_colour(hue), marker=mark, label=label,
        linestyle="--" if dashed else "-", linewidth=1.6,
    )  # fmt: skip
    for n, (x, y) in enumerate(places, 1):
        below = -14 if dashed else -26
        axes.annotate(
            str(n),
            (x, y),
            textcoords="offset points",
            xytext=(-4, below),
            color=chart_colour(hue),
        )
