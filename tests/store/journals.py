"""A few journals of made-up sessions, made once a test run, and what pure Python makes of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from callout.app.reports.journals import read_folder
from callout.bench.year import make_year
from callout.core.debrief.facts import Facts


@cache
def practice() -> Path:
    """Return a folder with the journals of thirty-six sessions over a year."""
    folder = Path(mkdtemp(prefix="callout-test-")) / "crew"
    make_year(folder, seed=7, sessions=36)
    return folder


@cache
def facts() -> Facts:
    """Return what those journals show."""
    return read_folder(practice()).facts
