"""Child processes that behave well and badly, in place of the voice process."""

from __future__ import annotations

import sys

from callout.speaking.child import SoundChild

_HEAD = "import json, sys, time\nfor line in sys.stdin:\n    r = json.loads(line)\n"

SPEAKS = _HEAD + "    print(json.dumps({'ok': True, 'was': r}), flush=True)\n"
HANGS = _HEAD + "    time.sleep(3600)\n"
DIES = _HEAD + "    sys.exit(3)\n"
BABBLES = _HEAD + "    print('Audio saved', flush=True)\n"
CANNOT = _HEAD + (
    "    print(json.dumps({'ok': False, 'error': 'no speaker', 'hint': 'plug in'}), flush=True)\n"
)


def child(script: str) -> SoundChild:
    """Return a child that runs ``script``."""
    return SoundChild([sys.executable, "-c", script])
