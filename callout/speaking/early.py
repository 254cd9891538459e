"""The built-in voice, loaded while the rest of the program is still being loaded."""

from __future__ import annotations

import threading
from contextlib import suppress
from functools import cache

from callout.errors import CalloutError
from callout.speaking.embedded.rendering import Renderer

_one = threading.Lock()


def shared_renderer() -> Renderer:
    """Return the program's one renderer; raises ModelNotFound if the installation lacks it."""
    with _one:
        return _loaded()


@cache
def _loaded() -> Renderer:
    return Renderer.shipped()


def load_voice() -> None:
    """Load what the first challenge needs; whoever speaks reports what is missing.

    PortAudio is not loaded here: that hides the error stream, where a wrong name is told meanwhile.
    """
    with suppress(CalloutError):
        shared_renderer()
