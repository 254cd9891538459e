"""A time axis on which long holds are shortened, so that the items stay readable."""

from __future__ import annotations

from typing import Any

from callout.core.debrief.shown import clock_words
from callout.core.debrief.timeline import SpanKind, Timeline

_SHARE = 0.12
"""Maximum drawn length of a hold, as a share of the working time."""
_STEPS = (5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600)
_MOST_TICKS = 10


def time_axis(axes: Any, timeline: Timeline) -> None:
    """Scale, limit and label the x axis of ``axes`` for ``timeline``."""
    import numpy as np
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    real, drawn = axis_knots(timeline)
    axes.set_xscale(
        "function",
        functions=(
            lambda t: _warp_times(np, t, real, drawn),
            lambda t: _warp_times(np, t, drawn, real),
        ),
    )
    edge = 0.01 * drawn[-1]
    axes.set_xlim(real[0] - edge, real[-1] + 2 * edge)
    axes.xaxis.set_major_locator(FixedLocator(axis_ticks(timeline, drawn[-1])))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda seconds, _: clock_words(seconds)))
    axes.set_xlabel("session time, minutes and seconds")


def axis_knots(timeline: Timeline) -> tuple[list[float], list[float]]:
    """Return times and their drawn positions, in seconds of an unshortened axis; at least two."""
    end = max(timeline.end, 1.0)
    holds = [s for s in timeline.spans if s.doing is SpanKind.HOLD]
    worked = end - sum(s.end - s.begin for s in holds)
    longest = max(5.0, _SHARE * worked)
    real, drawn = [0.0], [0.0]
    for hold in holds:
        for at, length in (
            (hold.begin, hold.begin - real[-1]),
            (hold.end, min(longest, hold.end - hold.begin)),
        ):
            if at > real[-1]:
                drawn.append(drawn[-1] + length)
                real.append(at)
    if end > real[-1]:
        drawn.append(drawn[-1] + end - real[-1])
        real.append(end)
    return real, drawn


def axis_ticks(timeline: Timeline, length: float) -> list[float]:
    """Return round times to label, none inside a hold."""
    step = next((s for s in _STEPS if length / s <= _MOST_TICKS), _STEPS[-1])
    holds = [(s.begin, s.end) for s in timeline.spans if s.doing is SpanKind.HOLD]
    times = (float(n * step) for n in range(int(timeline.end // step) + 1))
    return [t for t in times if not any(begin < t < end for begin, end in holds)]


def _warp_times(np: Any, values: Any, before: list[float], after: list[float]) -> Any:
    """Map piecewise, with slope one beyond the ends."""
    values = np.asarray(values, dtype=float)
    inside = np.interp(values, before, after)
    return inside + np.minimum(values - before[0], 0) + np.maximum(values - before[-1], 0)
