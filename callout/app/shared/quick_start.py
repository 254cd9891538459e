"""Whether the interpreter looks for cyclic garbage while a session is being loaded."""

from __future__ import annotations

import gc


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
