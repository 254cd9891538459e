"""Offline, voice-driven challenge-and-response checklist assistant.

For simulation, study and briefing only.
"""

import os

for _name, _value in (
    # Libraries are told before any of them is loaded, in every process, since each begins here.
    # Nothing is sent: a runtime that optional parts use reports to its vendor unless told not to.
    ("ORT_DISABLE_TELEMETRY", "1"),
    # The threads of one small product of numpy's wait for each other: one is faster, and on a busy
    # machine ten times so. What can be shared out is shared out by the caller.
    ("OPENBLAS_NUM_THREADS", "1"),
    ("MKL_NUM_THREADS", "1"),
    ("VECLIB_MAXIMUM_THREADS", "1"),
):
    os.environ[_name] = _value

__all__ = ["__version__"]
__version__ = "0.1.0"
