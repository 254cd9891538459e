"""What is said about shortcuts, and about where this program and its data are."""

from __future__ import annotations

from pathlib import PurePath

SHORTCUT_NAME = "Callout checklists"
SHORTCUT_ABOUT = "Opens your checklists in the browser"
MAKE_IT_BY_HAND = "Make a shortcut by hand that runs: callout page"


def shortcut_made(path: PurePath) -> str:
    return f"{path}: double-click it to open your lists."


def already_exists(path: PurePath) -> str:
    return f"{path} already exists."


def removed(path: PurePath | str) -> str:
    return f"{path} is removed."


def no_shortcut(path: PurePath) -> str:
    return f"There is no shortcut at {path}."


def no_folder(path: PurePath) -> str:
    return f"{path} does not exist, so there is nowhere to put a shortcut."


def completion_written(path: PurePath) -> str:
    return f"{path}: open a new terminal, and the tab key completes commands."


def unknown_shell(shell: str) -> str:
    return f'Callout cannot complete commands in the shell "{shell}".'


KNOWN_SHELLS = "It knows bash, zsh and fish."
KEPT_ON_UNINSTALL = "Uninstalling leaves the folders above; delete those you no longer want."


def upgrade_line(command: str) -> str:
    return f"To upgrade, in the folder of the new version: {command}"


def uninstall_line(command: str) -> str:
    return f"To uninstall: {command}"


def place_line(what: str, path: PurePath, there: bool) -> str:
    return f"{what:<12} {path}{'' if there else ' (does not exist yet)'}"
