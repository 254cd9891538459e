"""Takes inputs of one kind, confined: ``python -m callout.bench.hostile.worker``.

Its first line of input is a wish as JSON. Each line of its output is one input: seed, what became
of it, processor seconds, and the most memory held so far. It may end badly at any input; then
whoever reads knows at which.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path

from callout.bench.hostile.kinds import Kind, input_of, opened
from callout.bench.load import peak_mb
from callout.store.confinement import limit_memory, only_read

MEMORY_MB = 600
"""What the inputs of one kind may take, besides what reading the tables took."""


def main() -> None:
    """Take the inputs asked for."""
    wish = json.loads(sys.stdin.readline())
    where = Path(wish["where"])
    target = opened(Kind(*wish["kind"]), Path(wish["root"]), where)
    only_read(where)
    limit_memory(MEMORY_MB << 20)
    for seed in range(wish["first"], wish["end"]):
        data = input_of(target, seed)
        began = time.process_time()
        try:
            became, why = target.take(data), ""
        except Exception as error:  # whatever escapes is what is looked for
            became, why = "crashed", f"{type(error).__name__}: {str(error)[:200]}"
        told = (seed, became, why, time.process_time() - began, peak_mb())
        sys.stdout.write(json.dumps(told) + "\n")
        sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
