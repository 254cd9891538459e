"""What waits while a session is being loaded, so that its first challenge is heard soon."""

from __future__ import annotations

import gc

VOICE_FIRST_S = 0.3
"""How much later than the first challenge microphone and keyboard begin to open: loaded at the same
time, they would make it a quarter of a second later, and nobody can reply before it.
"""


def begin_quick_start() -> None:
    """Stop looking: nothing that loading makes is garbage, and looking takes a tenth of the time
    to the first challenge.
    """
    gc.disable()


def end_quick_start() -> None:
    """Look again, except through what has been loaded; safe to call at any time."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()
