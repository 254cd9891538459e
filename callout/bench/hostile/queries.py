"""SQL of every kind, put to a collection as ``callout query`` does."""

from __future__ import annotations

import random
import threading
from pathlib import Path
from typing import Any, Final

from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.app.reports.querying import Question, answer_query
from callout.bench.hostile.damage import refusal_word
from callout.bench.hostile.statements import SqlFunction, random_statement
from callout.bench.year import make_year
from callout.store.asking import REPORT, ask_collection
from callout.store.engine import CollectionInvalid, duckdb_library, open_for_reading, query_text
from callout.terminal.tables import draw_table

SECONDS: Final = 1.0
"""After which a statement is stopped; what comes of that is told apart."""
_MEMORY: Final = "200MB"
_FUNCTIONS: Final = (
    "SELECT DISTINCT function_name, parameter_types FROM duckdb_functions() "
    "WHERE function_type <> 'pragma' ORDER BY ALL"
)


class Queries:
    """Reading statements, changing ones, damaged ones; calls of every function there is."""

    suffix = ".sql"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._target, self._where = where / "c.duckdb", where
        if not self._target.exists():
            make_year(where / "crew", sessions=12)
            with open_for_collecting(self._target) as collection:
                collect_folder(where / "crew", collection)
        self._shipped = [query_text(name) for name in REPORT]
        self._open: Any = None
        self._connection = self._opened()
        self._functions = [
            SqlFunction(str(name), tuple(kind or "ANY" for kind in kinds))  # type: ignore[attr-defined]
            for name, kinds in ask_collection(self._connection, _FUNCTIONS).rows
            if str(name).isidentifier()
        ]
        self._rows = self._counted()

    def make(self, rng: random.Random) -> bytes:
        """Return a statement."""
        text = random_statement(rng, self._shipped, self._functions, str(self._where))
        return text.encode("utf-8", "replace")

    def take(self, data: bytes) -> str:
        """Ask it over one connection that is kept, in a process that has to be confined."""
        stopped = threading.Event()
        stop = threading.Timer(SECONDS, self._stop, (stopped,))
        stop.start()
        try:
            answer = ask_collection(self._connection, data.decode("utf-8"))
            draw_table(answer.columns, answer.rows, 200)
            became = "taken"
        except CollectionInvalid as error:
            became = "stopped" if stopped.is_set() else refusal_word(error)
        finally:
            stop.cancel()
            stop.join()
        return became if self._as_before() else "brought the library down"

    def apart(self, data: bytes) -> str:
        """Ask it as the command does, in a process of its own."""
        question = Question(str(self._target), data.decode("utf-8"), most=200, memory=_MEMORY)
        try:
            with answer_query(question, 20.0) as pieces:
                list(pieces)
        except CollectionInvalid as error:
            return refusal_word(error)
        return "taken"

    def _stop(self, stopped: threading.Event) -> None:
        stopped.set()
        self._connection.interrupt()

    def _as_before(self) -> bool:
        """Say whether the connection still works; raises ValueError when the tables changed."""
        try:
            rows = self._counted()
        except CollectionInvalid:  # the library gave up: in the command its process ends then
            self._connection = self._opened()
            return False
        if rows != self._rows:
            raise ValueError("a query changed what it read")
        return True

    def _counted(self) -> Any:
        sql = "SELECT count(*), sum(hash(items)) FROM items"
        try:
            return list(ask_collection(self._connection, sql).rows)
        except duckdb_library().Error as error:
            raise CollectionInvalid(str(error), "") from error

    def _opened(self) -> Any:
        if self._open is not None:
            self._open.__exit__(None, None, None)
        self._open = open_for_reading(self._target, _MEMORY, threads=1, scratch=self._where)
        return self._open.__enter__()
