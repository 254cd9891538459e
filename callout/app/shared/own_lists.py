"""Where a person's own lists are stored: one folder, the same for page and terminal."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_path

LISTS_VARIABLE = "CALLOUT_LISTS"


def own_lists_folder() -> Path:
    """Return the folder of the person's own lists, whether it exists or not."""
    named = os.environ.get(LISTS_VARIABLE)
    return Path(named) if named else user_data_path("callout", appauthor=False) / "lists"
