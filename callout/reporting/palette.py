"""Colours of reports: one table for the page's style and for the charts.

Every colour has a contrast of at least 4.5:1 (WCAG 2.2, 1.4.3 and 1.4.11) in light, dark and print;
none is the only sign of anything: words, shapes and hatching say the same. "wrong" and "unclear"
also differ in lightness, for people who confuse red and yellow.
"""

from __future__ import annotations

import re

LIGHT = {
    "ground": "#ffffff",
    "raised": "#f3f5f7",
    "ink": "#16202a",
    "muted": "#4c5966",
    "rule": "#c3ccd4",
    "right": "#0b5c7d",
    "wrong": "#6e0808",
    "unclear": "#856404",
    "skipped": "#4b2a99",
    "fast": "#8a1f66",
    "band": "#8797a6",
}
DARK = {
    "ground": "#12181e",
    "raised": "#1c242c",
    "ink": "#e9eef2",
    "muted": "#a9b6c2",
    "rule": "#3d4a56",
    "right": "#6cc4e6",
    "wrong": "#ff6f52",
    "unclear": "#ffe680",
    "skipped": "#a98bff",
    "fast": "#f29bd0",
    "band": "#8292a1",
}
MARKERS = {name: f"#0{n:x}0{n:x}f{n:x}" for n, name in enumerate(LIGHT, 1)}
"""Placeholders that charts are drawn with; in the page they become the style's own colours."""


def colour_style() -> str:
    """Return the colours as CSS variables for light, dark and print."""
    light, dark = (_css_variables(colours) for colours in (LIGHT, DARK))
    return (
        f":root {{ color-scheme: light dark; {light} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ {dark} }} }}\n"
        f"@media print {{ :root {{ color-scheme: light; {light} }} }}\n"
    )


def themed_chart(svg: str) -> str:
    """Return a chart with the placeholders replaced by the style's variables."""
    known = {marker: name for name, marker in MARKERS.items()}
    pattern = re.compile("|".join(known), re.IGNORECASE)
    return pattern.sub(lambda found: f"var(--{known[found.group().lower()]})", svg)


def _css_variables(colours: dict[str, str]) -> str:
    return " ".join(f"--{name}: {value};" for name, value in colours.items())
