"""The process that runs one query: ``python -m callout.app.reports.query_process``.

Its first line of input is a question as JSON. Its output is JSON objects, one per line: pieces of
text, starts of parts, an error, the end. It exits as soon as its input ends, which also happens
when the process that asked is killed.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from callout.app.reports.querying import Question, TextForm, report_text
from callout.errors import CalloutError
from callout.store.confinement import limit_memory, only_read
from callout.terminal.tables import csv_lines, draw_table, json_rows

PIECE = 32_768
"""Characters sent at once: the reader holds only a few of these."""


def main() -> None:
    """Answer one question."""
    question = Question.from_line(sys.stdin.readline())
    scratch = Path(question.scratch)
    try:
        _confine_process(question)
        threading.Thread(target=_end_with_input, args=(scratch,), daemon=True).start()
        for text in _text_pieces(_answer_pieces(question)):
            _send_answer(text=text)
        _send_answer(end=True)
    except CalloutError as error:
        _send_answer(error=error.message, hint=error.hint)
    except MemoryError:
        _send_answer(memory=True)
    except Exception as error:
        _send_answer(fault=f"{type(error).__name__}: {str(error)[:300]}")
    sys.stdout.flush()
    os._exit(0)  # the library may still be at work in other threads


def _text_pieces(texts: Iterator[str]) -> Iterator[str]:
    kept: list[str] = []
    size = 0
    for text in texts:
        for at in range(0, len(text), PIECE):
            kept.append(text[at : at + PIECE])
            size += len(kept[-1])
            if size >= PIECE:
                yield "".join(kept)
                kept, size = [], 0
    yield "".join(kept)


def _confine_process(question: Question) -> None:
    from callout.store.engine import bytes_of, duckdb_library

    held = bytes_of(question.memory)
    only_read(Path(question.scratch))
    duckdb_library()
    limit_memory(held)


def _end_with_input(scratch: Path) -> None:
    sys.stdin.read()
    shutil.rmtree(scratch, ignore_errors=True)
    os._exit(1)


def _send_answer(**said: Any) -> None:
    sys.stdout.write(json.dumps(said) + "\n")


def _answer_pieces(question: Question) -> Iterator[str]:
    from callout.store.asking import ask_collection, standard_report
    from callout.store.engine import open_for_reading

    target, scratch = Path(question.target), Path(question.scratch)
    with open_for_reading(target, question.memory, scratch=scratch) as connection:
        if question.sql is None:
            yield from report_text(
                standard_report(connection, question.parts), question.form, question.most
            )
            return
        answer = ask_collection(connection, question.sql)
        most = question.most
        if question.form is TextForm.CSV:
            yield from csv_lines(answer.columns, answer.rows, most)
        elif question.form is TextForm.JSON:
            yield from (f"{line}\n" for line in json_rows(answer.columns, answer.rows, most))
        else:
            yield draw_table(answer.columns, answer.rows, most) + "\n"


if __name__ == "__main__":
    main()
