"""Where the shipped lists and recordings are."""

from __future__ import annotations

from pathlib import Path

import callout
from callout.core.sentences import files as sentences
from callout.errors import CalloutError

CHECKLISTS = "checklists"
RECORDINGS = "audio_fixtures"


def shipped_folder(name: str) -> Path:
    """Return the folder ``name``: inside the package when installed, beside it in the source.

    Raises CalloutError if the installation lacks it.
    """
    package = Path(callout.__file__).parent
    for folder in (package / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise CalloutError(sentences.installation_lacks_folder(name), "pip install --force-reinstall .")
