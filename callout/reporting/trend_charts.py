"""The charts of many sessions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from callout.core.debrief.likely import Likely, likely_words, some_of_both
from callout.core.debrief.rates import Rate
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import TrendLine, Trends, TrendTimes
from callout.core.sentences import reports as sentences
from callout.reporting.charts import chart_colour, draw_chart, is_narrow, rows_axis

MOST_ITEMS = 20
_ROW = 0.27
_HEAD = 0.95


def months_chart(trends: Trends) -> str:
    """Return the share of items with a deviation by month as SVG; "" for a single month."""
    months = trends.months
    if len(months) < 2:
        return ""

    def paint(axes: Any) -> None:
        places = list(range(len(months)))
        shares = [line.any.share * 100 for line in months]
        axes.plot(places, shares, color=chart_colour("right"), linewidth=1.2, linestyle=(0, (2, 2)))
        axes.errorbar(
            places, shares, yerr=_reach([line.any for line in months]), fmt="o", markersize=7,
            color=chart_colour("right"), elinewidth=1.4, capsize=4,
        )  # fmt: skip
        step = max(1, len(months) // (5 if is_narrow(axes) else 13) + 1)
        axes.set_xticks(places[::step], [line.name for line in months[::step]])
        axes.set_ylim(bottom=0)
        axes.set_ylabel("items with a deviation, %")
        axes.grid(visible=False, axis="x")
        axes.grid(visible=True, axis="y")

    said = "Items with a deviation by month: " + _chart_text(months)
    return draw_chart(paint, 2.9, said, "months")


def rates_chart(lines: Sequence[TrendLine], name: str, what: str) -> str:
    """Return rates with their intervals as SVG, a row per group; "" without any hit."""
    chosen = some_of_both([line for line in lines if line.any.hits], MOST_ITEMS)
    if not chosen:
        return ""
    names = [shown_text(line.name) for line in chosen]
    critical = sum(line.critical for line in chosen)

    def paint(axes: Any) -> None:
        rows = list(range(len(chosen)))
        found = [line.likely or _as_counted(line.any) for line in chosen]
        axes.errorbar(
            [one.share * 100 for one in found], rows, xerr=_likely_reach(found), fmt="D",
            markersize=6, color=chart_colour("wrong"), elinewidth=1.6, capsize=4,
        )  # fmt: skip
        if 0 < critical < len(chosen):
            axes.axhline(critical - 0.5, color=chart_colour("ink"), linewidth=0.8)
        if chosen[0].likely:
            axes.plot(
                [line.any.share * 100 for line in chosen], rows, "o", markersize=6,
                markerfacecolor="none", markeredgecolor=chart_colour("ink"),
            )  # fmt: skip
        rows_axis(axes, names)
        axes.set_xlim(left=0)
        axes.set_xlabel("runs with a deviation, %; the line is the 95 % interval")

    said = f"Share with a deviation by {what}: {_chart_text(chosen)}"
    return draw_chart(paint, _HEAD + _ROW * len(chosen), said, name, names)


def times_distribution(times: Sequence[TrendTimes]) -> str:
    """Return reply times by phase as SVG; "" when none were timed."""
    if not times:
        return ""
    names = [shown_text(f"{one.name} ({one.count})") for one in times]

    def paint(axes: Any) -> None:
        for row, one in enumerate(times):
            axes.plot(one.reach, [row, row], color=chart_colour("muted"), linewidth=1.4)
            axes.barh(
                row, one.quartiles[1] - one.quartiles[0], left=one.quartiles[0], height=0.5,
                facecolor=chart_colour("raised"), edgecolor=chart_colour("right"), linewidth=1.4,
            )  # fmt: skip
            axes.barh(
                row, one.high - one.low, left=one.low, height=0.5, facecolor="none",
                edgecolor=chart_colour("right"), hatch="||||", linewidth=0,
            )  # fmt: skip
            axes.plot(
                [one.median] * 2,
                [row - 0.3, row + 0.3],
                color=chart_colour("ink"),
                linewidth=2,
            )
        rows_axis(axes, names)
        axes.set_xlim(left=0)
        axes.set_xlabel("seconds to the first reply")

    told = "; ".join(f"{one.name}: median {one.median:.1f} s" for one in times)
    said = sentences.reply_times(shown_text(told))
    return draw_chart(paint, _HEAD + _ROW * len(times), said, "times", names)


def _reach(found: Sequence[Rate]) -> list[list[float]]:
    """Return how far each interval reaches below and above the share, in per cent."""
    return _likely_reach([_as_counted(rate) for rate in found])


def _as_counted(rate: Rate) -> Likely:
    return Likely(rate.share, *rate.interval)


def _likely_reach(found: Sequence[Likely]) -> list[list[float]]:
    below = [max(0.0, one.share - one.low) * 100 for one in found]
    above = [max(0.0, one.high - one.share) * 100 for one in found]
    return [below, above]


def _chart_text(lines: Sequence[TrendLine]) -> str:
    parts = (f"{_weighed_name(line)} {line.any.share:.1%} of {line.any.total}{_likely(line)}"
             for line in lines)  # fmt: skip
    return shown_text("; ".join(parts), 2000) + "."


def _weighed_name(line: TrendLine) -> str:
    return f"{line.name}{', critical' * line.critical}"


def _likely(line: TrendLine) -> str:
    return f", likely {likely_words(line.likely)}" if line.likely else ""
