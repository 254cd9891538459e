"""Compares a folder with what was collected from it, inside the database.

A folder may have more journals than fit in memory by name: the database spills to disk.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

import numpy as np

SLICE: Final = 5_000
"""Names held in memory at once."""
Found = tuple[str, str, int, int]
"""A journal: its path; for a flight's journal, the flight's id; bytes, and modification time."""
Work = tuple[str, tuple[int, int]]
"""A journal to read, with its bytes and its modification time in nanoseconds."""
_KINDS: Final[tuple[tuple[str, Any], ...]] = (
    ("path", object),
    ("stem", object),
    ("size", "i8"),
    ("modified", "i8"),
)
_CHANGED: Final = """
CREATE OR REPLACE TEMP TABLE changed AS
SELECT listed.*, k.path IS NULL OR k.size < 0 AS fresh, coalesce(k.id, '') AS old,
    listed.path IN (SELECT path FROM journals) AS held
FROM listed LEFT JOIN (FROM journals WHERE root = ?) AS k USING (path)
WHERE k.path IS NULL OR k.size <> listed.size OR k.modified <> listed.modified
"""
_TO_READ: Final = """
CREATE OR REPLACE TEMP TABLE to_read AS
WITH touched AS (SELECT stem AS flight FROM changed UNION SELECT old FROM changed WHERE stem <> ''),
chosen AS (
    SELECT path, stem = '' AS list, size, modified, fresh, held FROM changed UNION ALL
    SELECT path, true, listed.size, listed.modified, false, true
    FROM listed JOIN journals AS k USING (path) ANTI JOIN changed USING (path)
    WHERE k.root = ? AND k.flight <> '' AND k.flight IN (SELECT flight FROM touched)
)
SELECT row_number() OVER (ORDER BY list, path) - 1 AS n, path, size, modified, fresh, held
FROM chosen
ORDER BY n
"""
"""Flights first: lists take their person from them, and are read again when they change."""


@dataclass(frozen=True, slots=True)
class Part:
    """Some of the journals to read."""

    work: Sequence[Work]
    held: Sequence[str]
    """Those of their paths that the collection already has rows of, from whichever folder."""


@dataclass(frozen=True, slots=True)
class Counts:
    """How many journals there are to read, and how many not."""

    new: int
    replaced: int
    unchanged: int

    @property
    def to_read(self) -> int:
        """Journals that are new or changed."""
        return self.new + self.replaced


@dataclass(frozen=True, slots=True)
class Listing:
    """The journals of one folder."""

    base: Any
    root: str

    def take(self, found: Iterable[Found]) -> None:
        """Take the names in a folder, in any order."""
        ask, left = self.base.execute, iter(found)
        ask("CREATE OR REPLACE TEMP TABLE listed (path VARCHAR, stem VARCHAR, size BIGINT, "
            "modified BIGINT)")  # fmt: skip
        while some := list(islice(left, SLICE)):
            told = zip(_KINDS, zip(*some, strict=True), strict=True)
            columns = {name: np.array(values, dtype=kind) for (name, kind), values in told}
            self.base.register("arrived", columns)
            ask("INSERT INTO listed SELECT path, stem, size, modified FROM arrived")
            self.base.unregister("arrived")

    def gone(self) -> Sequence[str]:
        """Return some of the collected journals that no longer exist."""
        asked = "SELECT path FROM journals ANTI JOIN listed USING (path) WHERE root = ? LIMIT ?"
        return [row[0] for row in self.base.execute(asked, [self.root, SLICE]).fetchall()]

    def compare(self) -> Counts:
        """Decide what to read."""
        ask = self.base.execute
        ask(_CHANGED, [self.root])
        ask(_TO_READ, [self.root])
        asked = "SELECT count(*) FILTER (fresh), count(*) FROM to_read"
        new, chosen = ask(asked).fetchone()
        [every] = ask("SELECT count(*) FROM listed").fetchone()
        return Counts(new, chosen - new, every - chosen)

    def part(self, first: int, count: int) -> Part:
        """Return some of the journals to read, in order."""
        asked = "SELECT path, size, modified, held FROM to_read WHERE n >= ? AND n < ? ORDER BY n"
        rows = self.base.execute(asked, [first, first + count]).fetchall()
        work = [(path, (size, modified)) for path, size, modified, _ in rows]
        return Part(work, [path for path, _, _, held in rows if held])

    def close(self) -> None:
        """Forget the names."""
        for table in ("listed", "changed", "to_read"):
            self.base.execute(f"DROP TABLE IF EXISTS temp.{table}")
