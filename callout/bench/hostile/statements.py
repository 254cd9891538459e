"""SQL made at random: reading, changing, nested, with calls of every function there is."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from callout.bench.hostile.damage import damaged_text, spliced_texts
from callout.core.debrief.columns import TABLES

_CHANGES: Final = (
    "COPY ({q}) TO '{w}/stolen.csv'", "COPY items FROM '{w}/x.csv'", "ATTACH '{w}/x.db' AS x",
    "EXPORT DATABASE '{w}/all'", "CREATE TABLE t AS {q}", "CREATE TEMP VIEW items AS {q}",
    "DROP TABLE items", "DELETE FROM items", "UPDATE items SET list = ''", "INSTALL httpfs",
    "LOAD '{w}/x'", "SET threads = 99", "PRAGMA database_list", "CALL duckdb_settings()",
    "EXPLAIN ANALYZE COPY ({q}) TO '{w}/stolen'", "EXPLAIN {q}", "BEGIN; {q}; COMMIT",
    "INSERT INTO items {q}", "VACUUM", "CHECKPOINT", "PREPARE p AS {q}", "EXECUTE p",
    "WITH x AS (DELETE FROM items RETURNING *) SELECT * FROM x", "RESET memory_limit",
    "CREATE MACRO f() AS ({q})", "ALTER TABLE items ADD COLUMN x INT", "USE memory", "{q}; {q}",
    "CREATE SECRET (TYPE s3)", "DETACH memory", "ANALYZE", "SELECT * FROM read_text('{w}/x')",
    "SELECT * FROM glob('{w}/*')", "FROM query('{q}')", "SELECT getenv('HOME')",
)  # fmt: skip
_NUMBERS: Final = ("0", "1", "-1", "7", "255", "32768", "2147483647", "9223372036854775807")
_BY_KIND: Final = {
    "VARCHAR": ("'a'", "''", "'%Y-%m'", "'\u202e\x1b[2J'", "'(a+)+$'", "repeat('ab', 3000000)",
                "'2031-01-01'", "'items'", "'{\"a\": [1]}'", "'$.a'", "'/etc/passwd'"),
    "BOOLEAN": ("true", "false"),
    "DOUBLE": ("0.5", "1e308", "'nan'::DOUBLE", "'-inf'::DOUBLE", "1e-320"),
    "DATE": ("DATE '2031-01-01'", "'infinity'::DATE", "DATE '5881580-07-10'"),
    "TIMESTAMP": ("TIMESTAMP '2031-01-01 12:00:00'", "'-infinity'::TIMESTAMP"),
    "INTERVAL": ("INTERVAL 1 DAY", "INTERVAL (-99999999) YEAR"),
    "BLOB": ("'\\x00\\xff'::BLOB", "''::BLOB"),
    "BIT": ("'0101'::BIT",),
    "LAMBDA": ("x -> x + 1", "(x, y) -> x"),
    "JSON": ("'[1, {\"a\": null}]'::JSON", "('[' || repeat('[', 900))"),
    "ANY": ("NULL", "(SELECT 1)", "'a'", "2", "{'a': 1}", "MAP {'a': 1}", "[1, 2]", "items"),
}  # fmt: skip
_PARTS: Final = ("(", "SELECT * FROM (", "NOT ", "- ", "CASE WHEN 1 THEN ", "[", "1+", "--", "/*")
_USES: Final = ("SELECT {c}", "FROM {c} LIMIT 9", "SELECT {c} FROM items", "SELECT [{c}, {c}]",
                "SELECT * FROM items WHERE {c} IS NULL", "SELECT {c} OVER () FROM items",
                "SELECT count(*) FROM items GROUP BY {c} ORDER BY {c}")  # fmt: skip


@dataclass(frozen=True, slots=True)
class SqlFunction:
    """A function of the library: its name and the kinds of what it is given."""

    name: str
    given: tuple[str, ...]


def random_statement(
    rng: random.Random, shipped: Sequence[str], functions: Sequence[SqlFunction], where: str
) -> str:
    """Return a statement; those that change something name files in ``where``."""
    match rng.randrange(10):
        case 0:
            return damaged_text(rng, rng.choice(shipped))
        case 1:
            return spliced_texts(rng, shipped)
        case 2:
            return _changing(rng, where)
        case 3:
            return damaged_text(rng, _changing(rng, where))
        case 4:
            return damaged_text(rng, _selected(rng, 2))
        case 5 | 6:
            return _selected(rng, 3)
        case 7:
            part, often = rng.choice(_PARTS), rng.choice((10, 300, 3_000))
            return part * often + "SELECT 1" + rng.choice((")", "]", "*/", "")) * often
    return rng.choice(_USES).format(c=_called(rng, functions, 2))


def _changing(rng: random.Random, where: str) -> str:
    return rng.choice(_CHANGES).format(q=_selected(rng, 1), w=where)


def _called(rng: random.Random, functions: Sequence[SqlFunction], depth: int) -> str:
    one = rng.choice(functions)
    inner = depth and rng.random() < 0.3
    values = [
        _called(rng, functions, depth - 1) if inner and rng.random() < 0.5 else _value(rng, kind)
        for kind in one.given
    ]
    return f"{one.name}({', '.join(values)})"


def _value(rng: random.Random, kind: str) -> str:
    if rng.random() < 0.1:
        return rng.choice(_BY_KIND[rng.choice(list(_BY_KIND))])
    if kind.endswith("[]"):
        return f"[{_value(rng, kind[:-2])}, NULL]"
    known = _BY_KIND.get(kind) or next((v for k, v in _BY_KIND.items() if kind.startswith(k)), ())
    return rng.choice(known or _NUMBERS)


def _selected(rng: random.Random, depth: int) -> str:
    """Return a grouped selection, of a table or of another selection, mostly without a fault."""
    table = rng.choice(list(TABLES))
    names = [column.name for column in TABLES[table]]
    one, other = rng.choice(names), rng.choice(names)
    match rng.randrange(5) if depth else 0:
        case 1:
            source = f"(SELECT * FROM {table} WHERE {other} IS NOT NULL)"
        case 2:
            source = f"{table} a JOIN {table} b USING ({one}, {other})"
        case 3:
            return f"WITH x AS ({_selected(rng, depth - 1)}) SELECT * FROM x, x AS y"
        case 4:
            return f"SELECT * FROM ({_selected(rng, depth - 1)}) WHERE n > {rng.choice(_NUMBERS)}"
        case _:
            source = table
    value = _value(rng, rng.choice(list(_BY_KIND)))
    limit = rng.choice(("", " LIMIT 5", f" LIMIT {value}", f" HAVING n <> {value}"))
    return f"SELECT {one} AS k, count(*) AS n FROM {source} GROUP BY {one}{limit}"
