"""Damaged list files, overlays and flight files, read as check and show do."""

from __future__ import annotations

import random
from pathlib import Path

from callout.app.list_files.pronouncing import pronunciations
from callout.app.shared.checklist_files import FileKind, kind_of
from callout.app.shared.found_files import yaml_files
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.bench.hostile.damage import damaged_text
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.lint.finding import Subject
from callout.core.lint.rules import lint_list
from callout.core.model.flight import Flight
from callout.core.planning.run_plan import plan_for
from callout.core.printing.shown_list import shown_list
from callout.errors import CalloutError


class Lists:
    """The lists, overlays and flight files of a folder, damaged."""

    suffix = ".yaml"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._texts = [path.read_text(encoding="utf-8") for path in yaml_files(seeds)]
        check_text(self._texts[0])  # tables and dictionaries are read before the clock runs

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged file."""
        return damaged_text(rng, rng.choice(self._texts)).encode("utf-8", "replace")

    def take(self, data: bytes) -> str:
        """Read it."""
        return check_text(data.decode("utf-8"))


def check_text(text: str) -> str:
    """Do with ``text`` all that check and show do; return what became of it."""
    try:
        node = parse_yaml(text, "fuzz.yaml")
        kind = kind_of(node)
        if kind is FileKind.OVERLAY:
            overlay_from(node, "fuzz.yaml")
        elif kind is FileKind.FLIGHT:
            flight_from(node, "fuzz.yaml")
        else:
            _whole(text)
    except CalloutError:
        return "refused"
    return "taken"


def _whole(text: str) -> None:
    tables, flight = default_tables(), _flight()
    checklist = checklist_from(parse_yaml(text, "fuzz.yaml"), "fuzz.yaml")
    lint_list(Subject(checklist, tables, flight, pronunciations()))
    shown_list(checklist, flight, tables)
    plan_for(checklist, flight, tables)


def _flight() -> Flight:
    text = "callout: 1\nquantities: {qnh: 1013 hPa}\nfacts: {night: no}\n"
    return flight_from(parse_yaml(text, "flight.yaml"), "flight.yaml")
