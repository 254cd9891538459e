"""Loads the table of spoken and single-key control."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml

from callout.core.model.commands import Command, CommandEntry, CommandTable


@lru_cache(maxsize=1)
def default_commands() -> CommandTable:
    """Return the table shipped with the program."""
    path = files("callout") / "data" / "commands.yaml"
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return command_table(yaml.load(path.read_text(encoding="utf-8"), Loader=loader))


def command_table(raw: dict[str, Any]) -> CommandTable:
    """Return the table that ``raw`` (the shape of commands.yaml) describes."""
    return CommandTable(
        entries=tuple(
            _command_entry(Command(name), spec) for name, spec in raw["commands"].items()
        ),
        answers={str(choice): tuple(said) for choice, said in raw["answers"].items()},
        fillers=tuple(raw.get("fillers", ())),
        connectors=tuple(raw.get("connectors", ())),
        desk={str(name): tuple(said) for name, said in raw.get("desk", {}).items()},
    )


def _command_entry(command: Command, spec: dict[str, Any]) -> CommandEntry:
    return CommandEntry(
        command=command,
        phrases=tuple(spec["say"]),
        keys=tuple(str(key) for key in spec.get("keys", ())),
        about=spec.get("about", ""),
        takes_rest=bool(spec.get("rest", False)),
        endings=tuple(spec.get("endings", ())),
        everyday=tuple(spec.get("everyday", ())),
        reasons=tuple(spec.get("reasons", ())),
    )
