"""Runs each query in a process of its own, which is killed when it exceeds its limits.

SQL written by somebody else can use any amount of memory and time, and can crash the database
library; so can a collection made by somebody else.
"""

from __future__ import annotations

import json
import queue
import signal
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from typing import Any, Final

from callout.core.sentences import collections as sentences
from callout.core.sentences import page
from callout.own_process import end_process, module_command, start_process
from callout.store.asking import QuerySection
from callout.store.engine import CollectionInvalid, duckdb_library
from callout.terminal.tables import csv_lines, draw_table, json_text

SECONDS: Final = 300.0
LONGEST: Final = 1_000_000
"""Maximum characters of a query."""
_COMMAND: Final = module_command("callout.app.reports.query_process")
_LOOKED = 0.2
"""Seconds between checks of a wait, on platforms where waiting for a queue blocks Ctrl-C."""
_AHEAD = 64
"""Pieces of an answer that are read ahead."""


class TextForm(StrEnum):
    """How an answer is written."""

    TABLE = "table"
    CSV = "csv"
    JSON = "json"


@dataclass(frozen=True, slots=True)
class Question:
    """A question to a collection."""

    target: str
    """Path of a database or of a folder of Parquet files."""
    sql: str | None
    """None: the standard report."""
    parts: tuple[str, ...] = ()
    """Parts of the standard report."""
    form: TextForm = TextForm.TABLE
    most: int = 0
    """Maximum number of rows; 0: all."""
    memory: str = "1GB"
    scratch: str = ""
    """Folder for what does not fit in memory: the only one that can be written."""

    def line(self) -> str:
        """Return the question as one line of text."""
        return json.dumps(asdict(self)) + "\n"

    @staticmethod
    def from_line(line: str) -> Question:
        """Return the question that became ``line``."""
        values = json.loads(line)
        found = {**values, "parts": tuple(values["parts"]), "form": TextForm(values["form"])}
        return Question(**found)


@contextmanager
def answer_query(question: Question, seconds: float = SECONDS) -> Iterator[Iterator[str]]:
    """Have ``question`` answered; yields the pieces of the text as they arrive.

    seconds: the longest wait for all of it, for each part of a report; the clock stops while nobody
    takes the pieces. However this ends, the process and its files are removed. Raises
    CollectionInvalid if the query cannot be answered.
    """
    duckdb_library()
    if question.sql is not None and len(question.sql) > LONGEST:
        said = sentences.query_too_long(len(question.sql), LONGEST)
        raise CollectionInvalid(said, sentences.SHORTER_QUERY_HINT)
    with tempfile.TemporaryDirectory(prefix="callout-", ignore_cleanup_errors=True) as scratch:
        process = start_process(_COMMAND)
        try:
            wait = _Wait(process, seconds * max(1, len(question.parts)))
            yield wait.pieces(replace(question, scratch=scratch))
        finally:
            end_process(process)


class _Wait:
    """The pieces of one answer, with a limit on the seconds of waiting."""

    def __init__(self, process: subprocess.Popen[str], seconds: float) -> None:
        self._process, self._seconds, self._left = process, seconds, seconds
        self._lines: queue.Queue[str] = queue.Queue(_AHEAD)
        threading.Thread(target=self._read, name="query-reader", daemon=True).start()

    def _read(self) -> None:
        assert self._process.stdout
        with suppress(OSError, ValueError):
            for line in self._process.stdout:
                self._put(line)
        self._put("")

    def _put(self, line: str) -> None:
        """Pass a line on; once the process has been ended nobody needs it."""
        while True:
            with suppress(queue.Full):
                self._lines.put(line, timeout=_LOOKED)
                return
            if self._process.returncode is not None:
                return

    def pieces(self, question: Question) -> Iterator[str]:
        assert self._process.stdin
        with suppress(OSError):  # it died at once: reported below
            self._process.stdin.write(question.line())
            self._process.stdin.flush()
        while line := self._line():
            said = json.loads(line)
            if "text" not in said:
                self._check(said)
                return
            yield said["text"]
        raise _broken_query(self._process.wait())

    def _line(self) -> str:
        began = time.monotonic()
        while True:
            waited = time.monotonic() - began
            if waited >= self._left:
                said = sentences.query_took_too_long(self._seconds)
                raise CollectionInvalid(said, sentences.QUERY_TIME_HINT)
            with suppress(queue.Empty):
                line = self._lines.get(timeout=min(_LOOKED, self._left - waited))
                self._left -= time.monotonic() - began
                return line

    @staticmethod
    def _check(said: dict[str, Any]) -> None:
        if "error" in said:
            raise CollectionInvalid(said["error"], said["hint"])
        if "memory" in said:
            raise _too_large()
        if "fault" in said:
            raise RuntimeError(said["fault"])


def _too_large() -> CollectionInvalid:
    hint = sentences.QUERY_MEMORY_HINT
    return CollectionInvalid(sentences.QUERY_OUT_OF_MEMORY, hint)


def _broken_query(code: int) -> CollectionInvalid:
    if code == -signal.SIGABRT:  # what the library raises when memory is refused in some places
        return _too_large()
    with suppress(ValueError):
        said = sentences.query_crashed(signal.Signals(-code).name)
        return CollectionInvalid(said, sentences.QUERY_CRASH_HINT)
    return CollectionInvalid(sentences.query_process_ended(code), page.TRY_AGAIN)


def report_text(found: Iterable[QuerySection], form: TextForm, most: int) -> Iterator[str]:
    """Yield the text of the standard report, part by part."""
    if form is TextForm.JSON:
        yield json_text({s.name: (s.columns, s.rows) for s in found}) + "\n"
        return
    for number, section in enumerate(found):
        if number:
            yield "\n"
        if form is TextForm.TABLE:
            yield f"{section.name}: {section.about}\n"
            yield draw_table(section.columns, section.rows, most) + "\n"
        else:
            yield from csv_lines(section.columns, section.rows, most)
