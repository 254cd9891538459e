"""The published JSON Schemas: generated from the format, shipped as data files."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Final

from callout.core.formats.flight_schema import flight_schema
from callout.core.formats.overlay_schema import overlay_schema
from callout.core.formats.schema import checklist_schema
from callout.core.model.shapes import Schema

SCHEMAS: Final[Mapping[str, Callable[[], Schema]]] = {
    "checklist": checklist_schema,
    "flight": flight_schema,
    "overlay": overlay_schema,
}


def schema_text(kind: str) -> str:
    """Return the JSON Schema of one kind of file as it is shipped."""
    return json.dumps(SCHEMAS[kind](), indent=2, ensure_ascii=False) + "\n"
