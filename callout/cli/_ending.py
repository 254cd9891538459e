"""Every way in which a command can end, as an exit code and plain words; never a traceback.

0: done. 1: done, and it found something (checks). 2: what was given cannot be used, or the output
cannot be written. 70: a fault of this program. 129: the terminal is gone. 130: Ctrl-C. 141: nobody
reads the output any more; that is no mistake, and nothing is said.
"""

from __future__ import annotations

import contextlib
import os
import sys
from typing import Final

import click

from callout.core.sentences.commands import answers as sentences
from callout.errors import CalloutError
from callout.outlet import OutputGone, guarded_streams, harmless_text, let_go, reserve_descriptors

USAGE: Final = 2
FAULT: Final = 70
HUNG_UP: Final = 129
INTERRUPTED: Final = 130
NOBODY_READS: Final = 141


def run_to_the_end(app: click.Group) -> None:
    """Run ``app`` on the program's arguments and end the program."""
    reserve_descriptors()
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115  ends with the program
    with guarded_streams():
        code = _code_of(app)
        code = _flushed_code(code)
    sys.exit(code)


def _code_of(app: click.Group) -> int:
    try:
        found = app(standalone_mode=False)
    except SystemExit as end:
        return _whole_code(end.code)
    except (click.Abort, KeyboardInterrupt):
        _say_line("")
        return INTERRUPTED
    except click.ClickException as error:
        _show_traceback(error)
        return error.exit_code
    except OutputGone as error:
        return _end_output_gone(error)
    except CalloutError as error:
        _stop_for_debug()
        return _say_failure(error.message, error.hint, error.exit_code)
    except Exception as error:
        _stop_for_debug()
        return _end_unexpected(error)
    return found if isinstance(found, int) and not isinstance(found, bool) else 0


def _whole_code(code: object) -> int:
    if code is None:
        return 0
    if isinstance(code, int):
        return code
    return _say_failure(str(code), "", 1)


def _end_unexpected(error: Exception) -> int:
    if isinstance(error, OSError):
        named = f" ({error.filename})" if error.filename else ""
        return _say_failure(f"{(error.strerror or str(error)).rstrip('.')}{named}.", "", USAGE)
    if isinstance(error, MemoryError):
        return _say_failure(sentences.NOT_ENOUGH_MEMORY, sentences.OUT_OF_MEMORY_HINT, USAGE)
    said = f"Something went wrong inside callout: {type(error).__name__}: {str(error)[:300]}"
    return _say_failure(said, sentences.DEBUG_HINT, FAULT)


def _stop_for_debug() -> None:
    if "--debug" in sys.argv:
        raise


def _end_output_gone(error: OutputGone) -> int:
    let_go(sys.stdout)
    if error.left:
        return HUNG_UP if error.hung_up else NOBODY_READS
    return _say_failure(error.message, error.hint, USAGE)


def _flushed_code(code: int) -> int:
    """Flush the output while a failure can still be reported."""
    try:
        sys.stdout.flush()
    except OutputGone as error:
        code = code or _end_output_gone(error)
    with contextlib.suppress(OutputGone):
        sys.stderr.flush()
    return code


def _show_traceback(error: click.ClickException) -> None:
    with contextlib.suppress(OutputGone):
        error.show()


def _say_failure(message: str, hint: str, code: int) -> int:
    _say_line(f"callout: {message}")
    if hint:
        _say_line(f"  {hint}")
    return code


def _say_line(line: str) -> None:
    with contextlib.suppress(OutputGone):
        click.echo(harmless_text(line), err=True)
