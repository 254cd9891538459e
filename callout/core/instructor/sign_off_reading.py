"""Reads a sign-off from plain values, as strictly as a chain of hashes requires."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from callout.core.instructor.sign_off import (
    SCHEMA_VERSION,
    Covered,
    JournalSource,
    Result,
    SignOff,
    SignOffStatement,
)


class SignOffInvalid(ValueError):
    """Values that are not a sign-off; the text says why."""


def from_plain(fields: Any) -> SignOff:
    """Return the sign-off that ``fields`` describe; raises SignOffInvalid."""
    if not isinstance(fields, dict) or fields.get("type") != "sign-off":
        raise SignOffInvalid("it is no sign-off")
    schema = fields.get("schema")
    if isinstance(schema, int) and schema > SCHEMA_VERSION:
        raise SignOffInvalid(f"it has version {schema}; this program reads {SCHEMA_VERSION}")
    try:
        return _read_record(fields)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise SignOffInvalid("its fields do not fit a sign-off") from error


def _read_record(fields: dict[str, Any]) -> SignOff:
    proofs = fields.get("proofs", [""] * len(fields["journals"]))
    journals = tuple(
        Covered(
            _checked_whole(j["size"]),
            _checked_text(j["sha256"]),
            _checked_text(j["seal"]),
            _read_source(source),
            _checked_text(j.get("release", "")),
            _checked_text(proof),
        )
        for j, source, proof in zip(fields["journals"], fields["sources"], proofs, strict=True)
    )
    utc = datetime.fromisoformat(fields["utc"])
    if utc.tzinfo is None:
        raise ValueError("a time without its zone")
    return SignOff(
        seq=_checked_whole(fields["seq"]),
        utc=utc.astimezone(UTC),
        journals=journals,
        seal=_checked_text(fields["seal"]),
        before=_checked_text(fields["before"]),
        hash=_checked_text(fields["hash"]),
        statement=_read_statement(fields["statement"]),
        release=_checked_text(fields.get("release", "")),
        proof=_checked_text(fields.get("proof", "")),
    )


def _read_statement(fields: dict[str, Any] | None) -> SignOffStatement | None:
    if fields is None:
        return None
    texts = {
        key: _checked_text(fields[key]) for key in ("instructor", "trainee", "nonce", "remark")
    }
    return SignOffStatement(result=Result(fields["result"]), **texts)


def _read_source(fields: dict[str, Any] | None) -> JournalSource | None:
    if fields is None:
        return None
    lines = tuple(_checked_text(mark) for mark in fields["lines"])
    return JournalSource(_checked_text(fields["session"]), _checked_text(fields["nonce"]), lines)


def _checked_text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("a text was expected")
    return value


def _checked_whole(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise TypeError("a whole number was expected")
    if not 0 <= value < 2**53:  # RFC 8785 knows no others
        raise ValueError("a number is out of range")
    return value
