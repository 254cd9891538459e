"""Journal records to plain dictionaries and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache
from marshal import dumps
from typing import Any

from cattrs import BaseValidationError, Converter
from cattrs.errors import ForbiddenExtraKeysError, StructureHandlerNotFoundError

from callout.core.checklist_run import records as journal_records
from callout.core.conversation import records as common
from callout.core.conversation.records import SCHEMA_VERSION, JournalRecord
from callout.core.drill import records as drill_records
from callout.core.flight_run import records as sector_records
from callout.core.planning.plan import Plan

PLACE = {"seq", "utc", "at"}
"""Fields that give every record its place in a journal."""
FORMER_NAMES: dict[str, type[JournalRecord]] = {
    "drill-failed": common.Failed,
    "drill-recovered": common.Recovered,
    "drill-suspended": common.Suspended,
}
"""Type names that earlier versions wrote, and the records they are read as."""


class RecordInvalid(ValueError):
    """A dictionary that is not a journal record; the text says why."""


class RecordTooNew(RecordInvalid):
    """A record was written by a later version of the program."""


def to_plain(record: JournalRecord) -> dict[str, Any]:
    """Return ``record`` as JSON-ready values, with its schema version and type name first."""
    place = {"seq": record.seq, "utc": _utc_text(record.utc), "at": record.at}
    fields = _record_converter().unstructure(record)
    return {"schema": SCHEMA_VERSION, "type": type_name(type(record)), **place, **fields}


def from_plain(fields: Mapping[str, Any]) -> JournalRecord:
    """Return the record that ``fields`` describe; unknown extra fields are left out.

    Raises RecordTooNew for a later schema version and RecordInvalid for anything else.
    """
    version = fields.get("schema")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise RecordInvalid("it has no schema version")
    if version > SCHEMA_VERSION:
        raise RecordTooNew(f"it has schema version {version}; this program reads {SCHEMA_VERSION}")
    cls = _record_types().get(str(fields.get("type")))
    if cls is None:
        raise RecordInvalid(f'"{fields.get("type")}" is not a record type')
    if not fields.keys() >= PLACE:
        raise RecordInvalid("it does not say its number and time")
    return _structured_record(dict(fields), cls)


def plan_from_plain(fields: Any) -> Plan:
    """Return the plan that ``fields`` describe; raises RecordInvalid."""
    record = _structured_record({"session_id": "", "plan": fields}, journal_records.Began)
    assert isinstance(record, journal_records.Began)
    return record.plan


def _structured_record(fields: dict[str, Any], cls: type[JournalRecord]) -> JournalRecord:
    try:
        return _record_converter().structure(fields, cls)
    except (BaseValidationError, ForbiddenExtraKeysError, StructureHandlerNotFoundError) as error:
        raise RecordInvalid(f"its fields do not fit a {type_name(cls)} record") from error
    except (ValueError, TypeError, KeyError, AttributeError, ArithmeticError) as error:
        raise RecordInvalid(f"its fields do not fit a {type_name(cls)} record") from error


@cache
def _record_types() -> dict[str, type[JournalRecord]]:
    modules = (common, journal_records, sector_records, drill_records)
    known = [value for module in modules for value in vars(module).values()]
    kinds = (v for v in known if isinstance(v, type) and issubclass(v, JournalRecord))
    bases = (JournalRecord, sector_records.SectorRecord, drill_records.DrillRecord)
    return {**FORMER_NAMES, **{type_name(k): k for k in kinds if k not in bases}}


def type_name(cls: type[JournalRecord]) -> str:
    """Return what a journal calls records of a kind."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "-", cls.__name__).lower()


@cache
def _record_converter() -> Converter:
    converter = Converter(omit_if_default=True, detailed_validation=False)
    converter.register_unstructure_hook(Decimal, str)
    converter.register_structure_hook(Decimal, lambda value, _: Decimal(value))
    converter.register_unstructure_hook(datetime, _utc_text)
    converter.register_structure_hook(datetime, lambda value, _: _utc_time(value))
    _keep_plans(converter)
    return converter


_MOST_PLANS = 64


def _keep_plans(converter: Converter) -> None:
    """Compute a repeated plan only once, as in a year of journals."""
    make = converter.get_structure_hook(Plan)
    known: dict[bytes, Plan] = {}

    def plan_of(value: Any, kind: Any) -> Plan:
        key = dumps(value, 2)  # without references, whose places differ
        if key not in known:
            plan = make(value, kind)
            if len(known) >= _MOST_PLANS:
                known.clear()
            known[key] = plan
        return known[key]

    converter.register_structure_hook(Plan, plan_of)


def _utc_text(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _utc_time(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError("a time without its zone")
    return moment.astimezone(UTC)
