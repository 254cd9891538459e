"""Invented rows by the million, directly in a collection: the same seed gives the same rows."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from callout.store.collection import Collection
from callout.store.engine import connect_database

ITEMS_A_SESSION: Final = 20
CHUNK: Final = 1_000_000
PEOPLE, SCHOOLS, AIRCRAFT, LISTS = 200, 4, 3, 20
"""Twelve hundred different items, as three well-stocked aircraft have."""
_DAYS: Final = """
CREATE TEMP TABLE days AS
SELECT d, TIMESTAMP '2031-01-01 09:00:00' + to_days(d::INTEGER) AS began,
    strftime(began, '%Y-%m') AS month
FROM range(365) t(d)
"""
_SESSIONS: Final = f"""
CREATE OR REPLACE TEMP TABLE made AS
SELECT s, 'made-' || s AS session_id, began, month,
    'Trainee ' || (h % {PEOPLE}) AS person, 'School ' || (h % {PEOPLE} % {SCHOOLS}) AS school,
    'Aircraft ' || (h // 1000 % {AIRCRAFT}) AS aircraft,
    'list-' || (h // 1000 % {AIRCRAFT}) || '-' || (h // 10000 % {LISTS}) AS list_id,
    'phase-' || (h // 10000 % {LISTS} // 2) AS phase
FROM (SELECT s, hash(s, $seed) AS h, s * 365 // $sessions AS d
    FROM range($first, $last) t(s)) JOIN days USING (d)
"""
_ITEMS: Final = f"""
INSERT INTO items BY NAME
WITH drawn AS (
    SELECT made.*, p, hash(s, p, $seed) AS h FROM made, range({ITEMS_A_SESSION}) t(p)
), chance AS (
    SELECT *, (h % 10000) / 1e4 AS u, (h // 10000 % 10000 + 0.5) / 1e4 AS v,
        (h // 100000000 % 10000) / 1e4 AS w, hash(list_id, p) % 7 AS hard
    FROM drawn
)
SELECT session_id, began, month, school, person, aircraft, list_id, 'Title of ' || list_id
    AS list_title, phase, '' AS drill, false AS not_set,
    'item-' || p AS item_id, p AS position, 'Challenge ' || p AS challenge, 'either' AS role,
    p % 5 = 0 AS critical, 'answered' AS outcome, true AS met, 1 AS asked, 1 AS tries,
    u < 0.01 AS omitted, omitted AS skipped, u > 0.99 - 0.01 * hard AS wrong,
    wrong::INTEGER AS mismatches, w < 0.02 AS too_fast, w > 0.999 AS out_of_order,
    (w BETWEEN 0.5 AND 0.52)::INTEGER AS unclear, w BETWEEN 0.6 AND 0.61 AS slow,
    NOT wrong AS first_time, 'voice' AS source, 3.0 AS total_seconds, 'on' AS reply,
    CASE WHEN NOT omitted THEN
        round(exp(0.5 + 0.1 * hard + 0.3 * sqrt(-2 * ln(v)) * cos(2 * pi() * w)), 3)
    END AS reply_seconds
FROM chance
"""
_SESSION_ROWS: Final = f"""
INSERT INTO sessions BY NAME
SELECT session_id, began, month, began AS ended, school, person, aircraft, list_id,
    'Title of ' || list_id AS title, phase, '' AS drill,
    'completed' AS ending, {ITEMS_A_SESSION} AS items
FROM made
"""


def make_rows(path: Path, rows: int, seed: int = 1, memory: str = "1GB") -> None:
    """Write ``rows`` item rows (rounded up to whole sessions) into a new collection at ``path``.

    Reply times are lognormal; one item in seven is never hard, the hardest one is wrong in 7 %.
    """
    Collection(path, memory).close()
    base = connect_database(str(path), memory)
    sessions = -(-rows // ITEMS_A_SESSION)
    step = CHUNK // ITEMS_A_SESSION
    try:
        base.execute(_DAYS)
        for first in range(0, sessions, step):
            last = min(first + step, sessions)
            known = {"seed": seed, "sessions": sessions, "first": first, "last": last}
            base.execute(_SESSIONS, known)
            base.execute(_ITEMS, {"seed": seed})
            base.execute(_SESSION_ROWS)
    finally:
        base.close()
