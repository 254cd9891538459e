"""Errors a person can act on: what happened, and what to do."""

from __future__ import annotations


class CalloutError(Exception):
    """Base of every error shown to a person.

    message: one sentence saying what happened (and, for files, where). hint: one sentence or
    command that fixes it; may be empty.
    """

    exit_code = 2

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class ChecklistInvalid(CalloutError):
    """A checklist or flight file cannot be used."""


class EngineUnavailable(CalloutError):
    """A speech library is missing or refuses to start."""


class ModelNotFound(CalloutError):
    """A recogniser's model is missing or damaged."""


class DeviceNotFound(CalloutError):
    """No usable microphone or speaker."""


class AudioInvalid(CalloutError):
    """A recording cannot be read."""


class JournalDamaged(CalloutError):
    """A journal cannot be read back."""


class JournalUnreadable(JournalDamaged):
    """The file cannot be opened or read; another user or a later try may succeed."""
