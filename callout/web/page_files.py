"""The fixed files of the pages: what a path shows is decided here and nowhere else."""

from __future__ import annotations

from importlib.resources import files

_Named = dict[str, tuple[str, str]]
_HTML, _CSS, _JS = "text/html", "text/css", "text/javascript"
_SESSION: _Named = {
    "/glance.css": ("glance/glance.css", _CSS),
    "/link.js": ("glance/link.js", _JS),
    "/session.js": ("glance/session.js", _JS),
}
_FILES: _Named = {
    **_SESSION,
    "/": ("glance/page.html", _HTML),
    "/glance.js": ("glance/glance.js", _JS),
}
_PANEL: _Named = {
    "/panel": ("glance/panel.html", _HTML),
    "/panel.css": ("glance/panel.css", _CSS),
    "/panel.js": ("glance/panel.js", _JS),
}
_PARTS = (
    *("page", "kit", "lists", "calling", "looking"),
    *("drills", "sound", "settings", "editor", "reading", "values"),
)
_DESK: _Named = {
    **_SESSION,
    "/": ("page/page.html", _HTML),
    "/page.css": ("page/page.css", _CSS),
    **{f"/{name}.js": (f"page/{name}.js", _JS) for name in _PARTS},
}
"""The page for everything."""


def files_of(*, desk: bool, panel: bool) -> dict[str, tuple[str, bytes]]:
    """Return kind and content by path.

    desk: the page for everything, instead of the glance page. panel: the panel too.
    """
    folder = files("callout") / "data"
    named = {**(_DESK if desk else _FILES), **(_PANEL if panel else {})}
    return {path: (kind, (folder / name).read_bytes()) for path, (name, kind) in named.items()}
