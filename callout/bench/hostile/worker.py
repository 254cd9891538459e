"""Processes inputs of one kind, confined: ``python -m callout.bench.hostile.worker``.

Its first line of input is a request as JSON. Each line of its output is one input: seed, result,
processor seconds, and peak memory so far. It may crash at any input; the reader then knows at
which.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path

from callout.bench.hostile.kinds import Kind, input_of, open_target
from callout.bench.load import peak_mb
from callout.store.confinement import limit_memory, only_read

MEMORY_MB = 600
"""What the inputs of one kind may take, besides what reading the tables took."""


def main() -> None:
    """Process the requested inputs."""
    wish = json.loads(sys.stdin.readline())
    where = Path(wish["where"])
    target = open_target(Kind(*wish["kind"]), Path(wish["root"]), where)
    only_read(where)
    limit_memory(MEMORY_MB << 20)
    for seed in range(wish["first"], wish["end"]):
        data = input_of(target, seed)
        began = time.process_time()
        try:
            became, why = target.take(data), ""
        except Exception as error:  # anything that escapes is what we are looking for
            became, why = "crashed", f"{type(error).__name__}: {str(error)[:200]}"
        told = (seed, became, why, time.process_time() - began, peak_mb())
        sys.stdout.write(json.dumps(told) + "\n")
        sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
