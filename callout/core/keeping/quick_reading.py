"""Decodes the lines that make up nearly all of a journal directly into records.

The result is what ``record_codec`` makes of the same line. If there could be any doubt, or if the
library is not installed, nothing is returned and the line goes through ``record_codec``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import MISSING, Field, fields
from functools import cache, lru_cache
from typing import Any, Final, get_type_hints

from callout.core.checklist_run import records as r
from callout.core.conversation import records as c
from callout.core.conversation.records import SCHEMA_VERSION, JournalRecord
from callout.core.keeping.record_codec import PLACE, plan_from_plain, type_name
from callout.core.planning.plan import Plan

_PLAIN: Final = (
    r.Challenged,
    r.Replied,
    r.Remarked,
    r.Commanded,
    r.Asked,
    r.Decided,
    r.Skipped,
    r.Deferred,
    r.NotApplicable,
    r.Held,
    r.Continued,
    r.Ended,
    r.FlowWorked,
    r.PanelDone,
    r.PanelNamed,
    c.Suspended,
    c.Resumed,
)
"""Records that consist of texts, numbers and closed sets, which can be read in one way only."""
_TIME: Final = rb"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{6})?Z"
_HEAD: Final = re.compile(
    rb'\{"schema":%d,"type":"([a-z-]+)","seq":[1-9][0-9]{0,8},"utc":"%s","at":'
    % (SCHEMA_VERSION, _TIME)
)
"""How this program begins a line."""
_ONCE: Final = (b'"schema":', b'"type":', b'"utc":')
_PLAN: Final = b'"plan":'
Decode = Callable[[bytes], JournalRecord]


def quick_record(line: bytes) -> JournalRecord | None:
    """Return the record in a journal's line, line end included; None: use ``record_codec``."""
    head = _HEAD.match(line)
    decode = _decoders().get(head[1]) if head else None
    if decode is None or not _has_each_key_once(line):
        return None
    try:
        if not line.isascii():
            line.decode()  # skipped fields are not checked
        return decode(line)
    except _refusals():  # record_codec takes it, or says what is wrong
        return None


def quick_records(lines: Sequence[bytes], data: bytes) -> list[JournalRecord] | None:
    """Return the records of a whole journal; None: read it the longer way.

    lines: without their ends. data: the same together. Of a key that comes twice in a line the
    library takes the last one, as the longer way does; those that the head tells must come once.
    """
    decoders, count, found = _decoders(), data.count, []
    rest = len(lines[0]) + 1  # of the first line, which is the longest, ``began`` counts them
    if any(count(key, rest) != len(lines) - 1 for key in _ONCE):
        return None
    try:
        if not data.isascii():
            data.decode()
        for line in lines:
            head = _HEAD.match(line)
            decode = decoders.get(head[1]) if head else None
            if decode is None:
                return None
            found.append(decode(line))
    except _refusals():
        return None
    return found if isinstance(found[0], r.Began) else None


def _has_each_key_once(line: bytes) -> bool:
    """A line edited by hand may repeat a key; the last one counts."""
    count = line.count
    named = count(b'"schema":') == 1 == count(b'"type":')
    return named and count(b'"seq":') == 1 == count(b'"utc":') and count(b'"at":') == 1


@cache
def _decoders() -> dict[bytes, Decode]:
    try:
        import msgspec
    except ImportError:
        return {}
    made: dict[bytes, Decode] = {
        type_name(kind).encode(): msgspec.json.Decoder(kind).decode for kind in _PLAIN
    }
    return {**made, b"began": _began_decoder(msgspec)}


@cache
def _refusals() -> tuple[type[Exception], ...]:
    """Return the exceptions for a line that does not fit; not every version raises ValueError."""
    import msgspec

    return ValueError, TypeError, RecursionError, msgspec.MsgspecError


def _began_decoder(msgspec: Any) -> Decode:
    """Return a decoder for the first record, whose plan is left for ``_plan_of``."""
    hints = get_type_hints(r.Began) | {"plan": msgspec.Raw}
    shape = msgspec.defstruct(
        "BeganLine", [_shape_of(spec, hints, msgspec) for spec in fields(r.Began)], kw_only=True
    )
    decode = msgspec.json.Decoder(shape).decode
    names = [spec.name for spec in fields(r.Began)]

    def began(line: bytes) -> JournalRecord:
        found = decode(line)
        plan = bytes(found.plan)
        if not _each_once_around(plan, line):
            raise ValueError("a key comes twice")
        given = {name: getattr(found, name) for name in names}
        return r.Began(**{**given, "plan": _plan_of(plan)})

    return began


def _each_once_around(plan: bytes, line: bytes) -> bool:
    """Say whether each key of the head comes once; the plan, one value in the line, has its own."""
    start = line.find(_PLAN) + len(_PLAN)
    end = start + len(plan)
    if line[start:end] != plan:
        return False
    return all(line.count(key, 0, start) + line.count(key, end) == 1 for key in _ONCE)


def _shape_of(spec: Field[Any], hints: dict[str, Any], msgspec: Any) -> tuple[Any, ...]:
    """Return a field as the library wants it: name, type and default."""
    if spec.default_factory is not MISSING:
        return spec.name, hints[spec.name], msgspec.field(default_factory=spec.default_factory)
    if spec.default is not MISSING and spec.name not in PLACE:
        return spec.name, hints[spec.name], spec.default
    return spec.name, hints[spec.name]


@lru_cache(maxsize=64)
def _plan_of(text: bytes) -> Plan:
    """Return a plan; a repeated one, as in a year of journals, is recognised by its bytes."""
    return plan_from_plain(json.loads(text))
