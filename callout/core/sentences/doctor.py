"""What ``callout doctor`` finds."""

from __future__ import annotations

from pathlib import PurePath


def voice_without_output(message: str) -> str:
    return f"built in, but no audio output: {message}"


def see_above(name: str) -> str:
    return f'see "{name}" above.'


def voice_through_output(name: str) -> str:
    return f"built in, through {name}"


def vosk_not_loaded(error: Exception) -> str:
    return f"Vosk cannot be loaded: {error}."


def no_english_model(listed: str) -> str:
    return f"No English model; the built-in recogniser is used.{listed}"


def model_used(name: str, listed: str) -> str:
    return f"{name} is used.{listed}"


def python_too_old(found: str) -> str:
    return f"{found} is too old."


INSTALL_TESTED_PYTHON = "Install Python 3.11 to 3.13."


def python_too_new(found: str) -> str:
    return f"{found} is newer than any version tested."


USE_NEWEST_TESTED_PYTHON = "Use Python 3.13."


def packages_missing(names: str) -> str:
    return f"Not installed: {names}."


def using_defaults(path: PurePath) -> str:
    return f"Using the defaults. Your own settings would go in {path}."


def cannot_write_journal(folder: PurePath, reason: str | None) -> str:
    return f"Cannot write to {folder}: {reason}."


def set_journal_folder(journal_variable: str) -> str:
    return f"Set {journal_variable} to another folder."


def free_space_or_set_folder(journal_variable: str) -> str:
    return f"Free some space, or set {journal_variable} to another folder."


OUTPUT_NOT_A_TERMINAL = "Output goes to a file or pipe, so it is plain text."

WINDOW_TOO_SMALL = "Make the window at least 80x24."

LETTERS_NOT_SHOWN = "Set PYTHONUTF8=1 to show every character."


def check_failed(name: str, error: Exception) -> str:
    return f"This check failed: {name}: {error}."


NO_SESSION_CAN_RUN = "No session can run until you fix what is missing above."


def session_can_run(challenges: str, replies: str) -> str:
    return f"Ready: challenges are {challenges}, and you reply {replies}."


def also_there(names: str) -> str:
    return f" Also there: {names}."


SECOND_NOT_INSTALLED = "Not installed; you are asked again whenever a reply is in doubt."


def second_not_usable(message: str) -> str:
    return f"{message} You are asked again whenever a reply is in doubt."
