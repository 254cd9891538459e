"""Tab completion of commands, provided by click, for bash, zsh and fish."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

import click
from click.shell_completion import get_completion_class

from callout.core.sentences import desktop as say
from callout.errors import CalloutError

_VARIABLE: Final = "_CALLOUT_COMPLETE"
SHELLS: Final = ("bash", "zsh", "fish")


def own_shell() -> str:
    """Return the person's shell, according to SHELL; empty if unknown."""
    return Path(os.environ.get("SHELL", "")).name


def completion_text(shell: str, command: click.Command) -> str:
    """Return the script for ``shell``; raise CalloutError for an unknown one."""
    found = get_completion_class(shell) if shell in SHELLS else None
    if found is None:
        raise CalloutError(say.unknown_shell(shell), say.KNOWN_SHELLS)
    return found(command, {}, "callout", _VARIABLE).source()


def completion_place(shell: str) -> Path:
    """Return where ``shell`` looks for such a script by default."""
    data = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    config = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
    return {
        "bash": data / "bash-completion" / "completions" / "callout",
        "fish": config / "fish" / "completions" / "callout.fish",
        "zsh": data / "zsh" / "site-functions" / "_callout",
    }[shell]
