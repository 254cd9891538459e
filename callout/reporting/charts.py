"""Drawing with Matplotlib: one look for all charts, as SVG for embedding in a page."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache, partial
from html import escape
from importlib.resources import as_file, files
from textwrap import wrap
from typing import Any

from callout.core.sentences import reports as sentences
from callout.errors import CalloutError
from callout.reporting.palette import MARKERS, themed_chart

WIDTH = 9.2
"""Inches; the page scales charts to its own width."""
NARROW = 4.9
"""The same for a phone: letters stay large enough to read at 350 pixels."""
_TALLER = 0.7
"""Additional inches on a phone, where a legend has more rows."""
_ON_PHONE = 20
"""Letters of a name beside a chart on a phone, in each of two lines."""
_SECOND_LINE = 0.12
"""Additional inches for each row whose name may take two lines."""
_SIZE = 10.5
FONT = "Atkinson Hyperlegible"


Paint = Callable[[Any], None]
"""Draws into a pair of axes."""


def draw_chart(
    paint: Paint, height: float, describe: str, name: str, names: Sequence[str] = ()
) -> str:
    """Return a chart in the report's look as two SVG elements, for wide and for narrow screens.

    height: inches. describe: alternative text. name: unique in the page. names: of its rows; long
    ones take two lines on a phone. Raises CalloutError without Matplotlib.
    """
    lines = any(len(one) > _ON_PHONE for one in names)
    taller = _TALLER + _SECOND_LINE * len(names) * lines
    wide, narrow = (
        _drawn(paint, size, describe, f"{name}-{kind}")
        for kind, size in (("wide", (WIDTH, height)), ("narrow", (NARROW, height + taller)))
    )
    return f'<div class="on-wide">{wide}</div><div class="on-narrow">{narrow}</div>'


def _drawn(paint: Paint, size: tuple[float, float], describe: str, name: str) -> str:
    with _report_look(name):
        figure = _new_figure(size)
        paint(figure.add_subplot())
        text = io.StringIO()
        metadata = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(text, format="svg", metadata=metadata)
    return themed_chart(_inline_svg(text.getvalue(), describe))


def is_narrow(axes: Any) -> bool:
    """Say whether a chart is drawn for a phone."""
    return bool(axes.figure.get_size_inches()[0] < WIDTH)


def chart_colour(name: str) -> str:
    """Return the placeholder for one of the style's colours."""
    return MARKERS[name]


def rows_axis(axes: Any, names: Sequence[str], longest: int = 44) -> None:
    """Name the rows of a chart, the first on top."""
    cut = _in_two_lines if is_narrow(axes) else partial(cut_label, longest=longest)
    axes.set_yticks(range(len(names)), [cut(name) for name in names], linespacing=0.95)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.tick_params(axis="y", length=0)


def cut_label(text: str, longest: int) -> str:
    """Return ``text``, shortened to fit beside a chart."""
    return text if len(text) <= longest else text[: longest - 1] + "…"


def _in_two_lines(text: str) -> str:
    return "\n".join(wrap(text, _ON_PHONE, max_lines=2, placeholder="…"))


def put_legend(axes: Any, entries: int) -> None:
    """Put the legend above the chart, in one or two rows."""
    axes.legend(
        loc="lower left",
        bbox_to_anchor=(0.0, 1.0),
        ncols=min(2 if is_narrow(axes) else 5, entries),
        frameon=False,
        borderaxespad=0.2,
        handletextpad=0.5,
        columnspacing=1.4,
    )


def _new_figure(size: tuple[float, float]) -> Any:
    try:
        from matplotlib.figure import Figure
    except ImportError as error:
        hint = 'Run: pip install "callout[debrief]"'
        raise CalloutError(sentences.MATPLOTLIB_MISSING, hint) from error
    return Figure(figsize=size, layout="constrained")


@contextmanager
def _report_look(name: str) -> Iterator[None]:
    try:
        import matplotlib
    except ImportError as error:
        hint = 'Run: pip install "callout[debrief]"'
        raise CalloutError(sentences.MATPLOTLIB_MISSING, hint) from error
    _know_font()
    with matplotlib.rc_context({**_SETTINGS, "svg.hashsalt": name}):
        yield


@cache
def _know_font() -> None:
    from matplotlib import font_manager

    for style in ("Regular", "Bold"):
        resource = files("callout") / "data" / "fonts" / f"AtkinsonHyperlegible-{style}.ttf"
        with as_file(resource) as path:
            font_manager.fontManager.addfont(str(path))


def _inline_svg(svg: str, describe: str) -> str:
    """Return the bare element: no document type, no metadata, scaled by the page."""
    body = svg[svg.index("<svg") :]
    body = re.sub(r"<metadata>.*?</metadata>", "", body, flags=re.DOTALL)
    body = re.sub(r"<svg[^>]*viewBox=\"([^\"]*)\"[^>]*>", r'<svg viewBox="\1">', body, count=1)
    said = escape(describe, quote=True)
    opening = f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{said}"'
    linked = ' xmlns:xlink="http://www.w3.org/1999/xlink"'
    return body.replace("<svg", opening + linked, 1).strip()


_INK, _MUTED, _RULE = MARKERS["ink"], MARKERS["muted"], MARKERS["rule"]
_SETTINGS: Any = {
    "text.parse_math": False,  # a dollar sign in a name must not begin a formula
    "svg.fonttype": "none",
    "font.family": [FONT, "DejaVu Sans", "sans-serif"],
    "font.size": _SIZE,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
    "savefig.facecolor": "none",
    "axes.edgecolor": _RULE,
    "axes.labelcolor": _INK,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.spines.left": False,
    "axes.grid": True,
    "axes.grid.axis": "x",
    "grid.color": _RULE,
    "grid.linewidth": 0.6,
    "text.color": _INK,
    "xtick.color": _MUTED,
    "ytick.color": _RULE,
    "xtick.labelcolor": _INK,
    "ytick.labelcolor": _INK,
    "hatch.linewidth": 0.8,
    "legend.fontsize": _SIZE - 0.5,
}
