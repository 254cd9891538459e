"""Where the program and its data are, and how to upgrade and remove it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import callout
from callout.app.models.model_place import models_dir
from callout.app.reports.collecting import default_collection
from callout.app.shared.own_lists import own_lists_folder
from callout.app.shared.settings import journal_folder, load_settings, settings_path
from callout.core.sentences import desktop as say
from callout.hearing.voices import voices_folder


def data_places() -> Iterator[tuple[str, Path]]:
    """Yield each kind of data with its place."""
    yield "program", Path(callout.__file__).parent
    yield "settings", settings_path()
    yield "lists", own_lists_folder()
    yield "journals", journal_folder(None, load_settings())
    yield "voices", voices_folder()
    yield "models", models_dir()
    yield "collection", default_collection()


def place_lines() -> Iterator[str]:
    """Yield the places, and the commands that upgrade and remove the program."""
    for what, path in data_places():
        yield say.place_line(what, path, path.exists())
    pip = f'"{sys.executable}" -m pip' if " " in sys.executable else f"{sys.executable} -m pip"
    yield ""
    yield say.upgrade_line(f"{pip} install .")
    yield say.uninstall_line(f"callout shortcut --remove && {pip} uninstall callout")
    yield say.KEPT_ON_UNINSTALL
