"""The native Vosk library: loads it, and keeps its messages off the terminal."""

from __future__ import annotations

import contextlib
import json
import logging
import os
import sys
import tempfile
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from callout.core.sentences import sound_devices as sentences
from callout.errors import EngineUnavailable, ModelNotFound
from callout.ports.hearing import SAMPLE_RATE

_LOG = logging.getLogger(__name__)
_FATAL_ONLY = -3
_WITH_WARNINGS = -1
_capture = threading.Lock()


def load_model(folder: Path) -> Any:
    """Load the model in ``folder`` (absolute and checked); raises EngineUnavailable or
    ModelNotFound."""
    vosk = _load_library()
    with native_messages_kept() as messages:
        try:
            return vosk.Model(str(folder))
        except Exception as error:
            # The library raises a bare Exception; what went wrong is only in what it printed.
            reason = _last_line(messages())
            raise ModelNotFound(
                sentences.vosk_could_not_load(folder, reason),
                f"Check it: callout model verify '{folder}'",
            ) from error


def new_recogniser(model: Any, phrases: Iterable[str] = ()) -> Any:
    """Return a recogniser with word confidences: free, or restricted to ``phrases`` if given.

    An empty grammar must never reach the library: it crashes the process later.
    """
    listed = sorted(set(phrases))
    arguments = [json.dumps(listed, ensure_ascii=False)] if listed else []
    with native_messages_kept():
        try:
            recogniser = _load_library().KaldiRecognizer(model, SAMPLE_RATE, *arguments)
        except Exception as error:
            raise ModelNotFound(
                sentences.VOSK_COULD_NOT_START,
                "Check it: callout model list, then callout model verify NAME",
            ) from error
    recogniser.SetWords(True)
    return recogniser


@contextlib.contextmanager
def native_messages_kept() -> Iterator[_Messages]:
    """Send what native code prints on standard error to this module's log instead."""
    with _capture, contextlib.ExitStack() as stack:
        messages = _Messages(stack)
        _load_library().SetLogLevel(_WITH_WARNINGS)
        try:
            yield messages
        finally:
            _load_library().SetLogLevel(_FATAL_ONLY)
            for line in messages().splitlines():
                _LOG.debug("%s", line)


class _Messages:
    """What was written to standard error while it pointed to a temporary file."""

    def __init__(self, stack: contextlib.ExitStack) -> None:
        self._file = stack.enter_context(tempfile.TemporaryFile())  # noqa: SIM115 - the stack closes it
        with contextlib.suppress(OSError):  # no standard error at all: nothing to protect
            kept = os.dup(2)
            stack.callback(os.close, kept)
            _flush_stderr()
            os.dup2(self._file.fileno(), 2)
            stack.callback(os.dup2, kept, 2)

    def __call__(self) -> str:
        _flush_stderr()
        self._file.seek(0)
        return self._file.read().decode("utf-8", "replace")


def _flush_stderr() -> None:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.flush()


def _last_line(text: str) -> str:
    lines = [line.strip() for line in text.splitlines() if line.startswith("ERROR")]
    return f": {lines[-1].partition(') ')[2] or lines[-1]}".rstrip(".") if lines else ""


def _load_library() -> Any:
    try:
        import vosk
    except (ImportError, OSError, TypeError) as error:
        raise EngineUnavailable(
            sentences.vosk_does_not_start(error),
            f"Install it: {sys.executable} -m pip install vosk",
        ) from error
    return vosk
