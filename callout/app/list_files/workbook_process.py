"""The process that reads one workbook: ``python -m callout.app.list_files.workbook_process``.

It is given a path and a number of rows, and answers in one JSON object. The reader allocates
everything between two distant cells, and has to parse files from anybody: in this process it cannot
exceed its memory limit, and can change nothing.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from callout.app.list_files.workbooks import MEMORY, first_sheet
from callout.errors import CalloutError
from callout.store.confinement import limit_memory, only_read


def main() -> None:
    """Read the workbook that the first line of input names."""
    path, most = json.loads(sys.stdin.readline())
    only_read()
    limit_memory(MEMORY)
    sys.stdout.write(json.dumps(_read_cells(Path(path), most)))


def _read_cells(path: Path, most: int) -> dict[str, Any]:
    try:
        return {"rows": list(first_sheet(path, most))}
    except CalloutError as error:
        return {"error": error.message, "hint": error.hint}
    except MemoryError:
        return {"memory": True}


if __name__ == "__main__":
    main()
