"""The charts of one session: what happened when, and reply times compared with the person's own."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from callout.core.debrief.session import Debrief, Looked
from callout.core.debrief.shown import clock_words, duration_words, shown_text
from callout.core.debrief.timeline import Mark, MarkKind, Span, SpanKind, Timeline
from callout.core.model.counting import counted_noun
from callout.core.sentences import reports as sentences
from callout.reporting.charts import chart_colour, draw_chart, is_narrow, put_legend, rows_axis
from callout.reporting.time_axis import time_axis

_SHAPES = {
    MarkKind.RIGHT: ("o", "right"),
    MarkKind.WRONG: ("X", "wrong"),
    MarkKind.UNCLEAR: ("s", "unclear"),
    MarkKind.SKIPPED: (">", "skipped"),
    MarkKind.DEFERRED: ("v", "skipped"),
    MarkKind.EARLY: ("P", "wrong"),
    MarkKind.REOPENED: ("<", "skipped"),
    MarkKind.REMARK: ("|", "muted"),
    MarkKind.FAILED: ("*", "wrong"),
    MarkKind.SPOILT: ("d", "unclear"),
}
"""Shape and colour of each kind of moment; no two share a shape."""
NOWHERE: Final[Mapping[str, str]] = MappingProxyType({})
_ROW = 0.27
_HEAD = 1.25


def timeline_chart(debrief: Debrief, number: int, again: Mapping[str, str] = NOWHERE) -> str:
    """Return the session's timeline as SVG: a row per item, holds hatched, breaks dashed; "" if
    nothing is known of it.

    again: anchors of slips shown step by step, by item; their symbols link there.
    """
    if not (debrief.timeline.spans or debrief.timeline.marks):
        return ""
    looked = debrief.asked
    rows = {x.item.item_id: n for n, x in enumerate(looked)}
    names = [shown_text(x.item.challenge) for x in looked]
    timeline = debrief.timeline

    def paint(axes: Any) -> None:
        _draw_spans(axes, timeline, rows)
        _draw_holds(axes, timeline)
        _draw_breaks(axes, timeline)
        _draw_moments(axes, timeline, rows, again)
        rows_axis(axes, names)
        time_axis(axes, timeline)
        put_legend(axes, 6)

    height = _HEAD + _ROW * len(rows)
    return draw_chart(paint, height, _chart_description(debrief), f"timeline-{number}", names)


def _draw_spans(axes: Any, timeline: Timeline, rows: dict[str, int]) -> None:
    for span in timeline.spans:
        if span.doing is SpanKind.ITEM and span.item_id in rows:
            row = rows[span.item_id]
            axes.barh(
                row, span.end - span.begin, left=span.begin, height=0.56,
                color=chart_colour("band"), alpha=0.45, linewidth=0,
            )  # fmt: skip


def _draw_holds(axes: Any, timeline: Timeline) -> None:
    label = "hold"
    for span in timeline.spans:
        if span.doing is SpanKind.HOLD:
            axes.axvspan(
                span.begin, span.end, facecolor="none", edgecolor=chart_colour("muted"),
                hatch="////", linewidth=0.8, label=label,
            )  # fmt: skip
            _name_hold(axes, span)
            label = "_"


def _name_hold(axes: Any, span: Span) -> None:
    from matplotlib.transforms import blended_transform_factory

    axes.text(
        span.begin, 0.04, f" held {duration_words(span.end - span.begin)} ",
        color=chart_colour("ink"), rotation=90, ha="left", va="bottom", zorder=4,
        transform=blended_transform_factory(axes.transData, axes.transAxes),
        bbox={"facecolor": chart_colour("ground"), "edgecolor": "none", "pad": 1.5},
    )  # fmt: skip


def _draw_breaks(axes: Any, timeline: Timeline) -> None:
    label = "interrupted"
    for mark in timeline.marks:
        if mark.moment is MarkKind.BREAK:
            axes.axvline(
                mark.at,
                color=chart_colour("ink"),
                linestyle=(0, (4, 3)),
                linewidth=1.2,
                label=label,
            )
            label = "_"


def _draw_moments(
    axes: Any, timeline: Timeline, rows: dict[str, int], again: Mapping[str, str]
) -> None:
    for moment, (shape, name) in _SHAPES.items():
        found = [m for m in timeline.marks if m.moment is moment and m.item_id in rows]
        if found:
            drawn = axes.scatter(
                [m.at for m in found],
                [rows[m.item_id] for m in found],
                marker=shape,
                s=52,
                color=chart_colour(name),
                linewidths=1.4 if shape == "|" else 0.5,
                zorder=3,
                label=moment.value,
            )
            drawn.set_urls([f"#{again[m.item_id]}" if m.item_id in again else None for m in found])


def _chart_description(debrief: Debrief) -> str:
    session = debrief.session
    parts = [
        f"Timeline of {session.title}: {counted_noun(session.items, 'item')} in "
        f"{duration_words(session.minutes * 60)}",
        f"{counted_noun(session.holds, 'hold')}, {duration_words(session.hold_seconds)} in all",
        *(_break_words(m) for m in debrief.timeline.marks if m.moment is MarkKind.BREAK),
    ]
    return shown_text(". ".join(parts) + ".")


def _break_words(mark: Mark) -> str:
    gone = f", resumed after {duration_words(mark.asleep)}" if mark.asleep else ""
    return f"interrupted at {clock_words(mark.at)}{gone}"


def times_chart(debrief: Debrief, number: int) -> str:
    """Return first reply times as SVG, each beside the person's usual time; "" if there are
    none.
    """
    looked = [x for x in debrief.asked if x.item.reply_seconds is not None]
    if not looked:
        return ""
    names = [shown_text(x.item.challenge) for x in looked]
    known = sum(x.usual is not None for x in looked)
    said = sentences.reply_time_at(counted_noun(len(looked), "item"), known)

    def paint(axes: Any) -> None:
        _draw_usual(axes, looked)
        _draw_session(axes, looked)
        rows_axis(axes, names)
        axes.set_xlim(left=0)
        long = "seconds from the end of the challenge to the start of the first reply"
        axes.set_xlabel("seconds to the first reply" if is_narrow(axes) else long)
        put_legend(axes, 5)

    return draw_chart(paint, _HEAD + _ROW * len(looked), said, f"times-{number}", names)


def _draw_usual(axes: Any, looked: list[Looked]) -> None:
    label = "usual: middle half"
    for row, x in enumerate(looked):
        if x.usual:
            axes.barh(
                row, x.usual.high - x.usual.low, left=x.usual.low, height=0.5,
                color=chart_colour("band"), alpha=0.45, linewidth=0, label=label,
            )  # fmt: skip
            axes.plot(
                [x.usual.median] * 2, [row - 0.25, row + 0.25], color=chart_colour("ink"),
                linewidth=1.6, label="usual: median" if label != "_" else "_",
            )  # fmt: skip
            label = "_"


def _draw_session(axes: Any, looked: list[Looked]) -> None:
    kinds = (
        ("this session", "o", "right", lambda x: not _is_marked(x)),
        ("too fast to have looked", "D", "fast", lambda x: x.item.fast and x.item.first_time),
        (
            "slow, or slower than usual",
            "^",
            "unclear",
            lambda x: _is_marked(x) and not (x.item.fast and x.item.first_time),
        ),
    )
    for name, shape, shade, fits in kinds:
        points = [(x.item.reply_seconds, row) for row, x in enumerate(looked) if fits(x)]
        if points:
            axes.scatter(
                [p[0] for p in points], [p[1] for p in points], marker=shape, s=52,
                color=chart_colour(shade), zorder=3, linewidths=0.5, label=name,
            )  # fmt: skip


def _is_marked(x: Looked) -> bool:
    """Say whether the first reply is marked; fast and slow refer to the right one."""
    marked = (x.item.fast or x.item.slow) and x.item.first_time
    return marked or x.against_usual == "slower than usual"
