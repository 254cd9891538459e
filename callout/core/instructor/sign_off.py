"""A sign-off: who vouches for which journals, sealed so that a later change to either shows.

Names of people and sessions are in a separate part, of which the chain holds only a sealed hash.
That part can be forgotten, and the chain still holds. A random ``nonce`` in it prevents guessing a
short name by trying names.

What it proves: a record's hash (SHA-256 over RFC 8785 JSON) covers the hash of the previous record,
and the size and hash of each journal, so a later change to either shows. What it does not prove:
nothing in it is secret, so whoever has the file can recreate the whole of it. Only a hash noted
elsewhere (``--last``) reveals that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import Enum
from typing import Any

from callout.core.instructor.canonical import NO_HASH, hash_of, sha256_hex

SCHEMA_VERSION = 1
LINE_DIGITS = 8
"""Hex digits kept of each line's hash: they only show where a journal was changed. The whole hash
shows that it was changed.
"""


class Result(Enum):
    """What the instructor concludes."""

    SATISFACTORY = "satisfactory"
    FURTHER_TRAINING = "further-training"


@dataclass(frozen=True, slots=True)
class SignOffStatement:
    """What a sign-off says about people."""

    instructor: str
    trainee: str
    result: Result
    nonce: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class JournalSource:
    """Which journal is covered."""

    session: str
    """Name of the journal's file without its ending."""
    nonce: str
    lines: tuple[str, ...] = ()
    """First digits of the hash of each line."""


@dataclass(frozen=True, slots=True)
class Covered:
    """One journal at the time of signing."""

    size: int
    """Bytes."""
    sha256: str
    seal: str
    """Hash of ``source``."""
    source: JournalSource | None = None
    """None: forgotten."""
    release: str = ""
    """Hash of the proof that ``source`` was forgotten on purpose; empty in earlier versions."""
    proof: str = ""
    """That proof, once the source is forgotten."""


@dataclass(frozen=True, slots=True)
class SignOff:
    """One record of the chain."""

    seq: int
    """1, 2, 3 ... without gaps."""
    utc: datetime
    journals: tuple[Covered, ...]
    seal: str
    """Hash of ``statement``."""
    before: str
    """Hash of the previous sign-off; zeros for the first."""
    hash: str = ""
    """Hash of everything above, except the contents of ``source`` and ``statement``."""
    statement: SignOffStatement | None = None
    """None: forgotten."""
    release: str = ""
    """Hash of the proof that ``statement`` was forgotten on purpose."""
    proof: str = ""


def cover_journal(session: str, data: bytes, nonce: str) -> Covered:
    """Return the journal ``session`` with the bytes ``data`` as it is now."""
    marks = tuple(sha256_hex(line)[:LINE_DIGITS] for line in data.splitlines(keepends=True))
    source = JournalSource(session, nonce, marks)
    seal = hash_of(_source_plain(source))
    return Covered(len(data), sha256_hex(data), seal, source, release_of(nonce))


def proof_of(nonce: str) -> str:
    """Return a proof that only somebody who had the sealed part can have computed."""
    return sha256_hex(f"forgotten on purpose: {nonce}".encode())


def release_of(nonce: str) -> str:
    """Return what the chain stores about that proof."""
    return sha256_hex(proof_of(nonce).encode())


def is_proven(release: str, proof: str) -> bool:
    """Say whether a missing part was forgotten on purpose."""
    return bool(release) and sha256_hex(proof.encode()) == release


def signed_statement(
    statement: SignOffStatement,
    journals: Sequence[Covered],
    earlier: Sequence[SignOff],
    utc: datetime,
) -> SignOff:
    """Return the sign-off that follows ``earlier``; raises ValueError for a time without zone."""
    if utc.tzinfo is None:
        raise ValueError("a sign-off needs a time with its zone")
    last = earlier[-1] if earlier else None
    record = SignOff(
        seq=last.seq + 1 if last else 1,
        utc=utc.astimezone(UTC),
        journals=tuple(journals),
        seal=hash_of(_statement_plain(statement)),
        before=last.hash if last else NO_HASH,
        statement=statement,
        release=release_of(statement.nonce),
    )
    return replace(record, hash=hash_of(_chained_fields(record)))


def forget_names(record: SignOff, sessions: frozenset[str], person: str = "") -> SignOff:
    """Return ``record`` without names of ``sessions`` or ``person``; its hashes stay.

    person: compared ignoring case. If no session is left, the statement is removed too.
    """
    journals = tuple(
        replace(one, source=None, proof=proof_of(one.source.nonce))
        if one.source and one.source.session in sessions
        else one
        for one in record.journals
    )
    said = record.statement
    names = (said.instructor, said.trainee, said.remark) if said else ()
    named = bool(person) and any(person.casefold() in name.casefold() for name in names)
    emptied = journals != record.journals and not any(one.source for one in journals)
    if said and (named or emptied):
        return replace(record, journals=journals, statement=None, proof=proof_of(said.nonce))
    return replace(record, journals=journals)


def is_true(record: SignOff) -> bool:
    """Say whether a record still matches its hash."""
    return record.hash == hash_of(_chained_fields(record))


def statement_is_true(record: SignOff) -> bool:
    """Say whether its statement is what was sealed; True if forgotten."""
    return record.statement is None or record.seal == hash_of(_statement_plain(record.statement))


def source_is_true(covered: Covered) -> bool:
    """Say whether the journal's name and line hashes are those sealed; True if forgotten."""
    return covered.source is None or covered.seal == hash_of(_source_plain(covered.source))


def to_plain(record: SignOff) -> dict[str, Any]:
    """Return ``record`` as JSON-ready values."""
    said = None if record.statement is None else _statement_plain(record.statement)
    sources = [None if c.source is None else _source_plain(c.source) for c in record.journals]
    proofs = [c.proof for c in record.journals]
    proven = {"proof": record.proof, "proofs": proofs} if record.proof or any(proofs) else {}
    plain = {**_chained_fields(record), "hash": record.hash, "statement": said, "sources": sources}
    return {**plain, **proven}


def _chained_fields(record: SignOff) -> dict[str, Any]:
    """Return what the record's hash covers."""
    return {
        "schema": SCHEMA_VERSION,
        "type": "sign-off",
        "seq": record.seq,
        "utc": record.utc.isoformat().replace("+00:00", "Z"),
        "journals": [_covered_plain(covered) for covered in record.journals],
        "seal": record.seal,
        "before": record.before,
        **({"release": record.release} if record.release else {}),
    }


def _covered_plain(covered: Covered) -> dict[str, Any]:
    plain = {"size": covered.size, "sha256": covered.sha256, "seal": covered.seal}
    return {**plain, "release": covered.release} if covered.release else plain


def _statement_plain(said: SignOffStatement) -> dict[str, Any]:
    return {
        "instructor": said.instructor,
        "trainee": said.trainee,
        "result": said.result.value,
        "nonce": said.nonce,
        "remark": said.remark,
    }


def _source_plain(source: JournalSource) -> dict[str, Any]:
    return {"session": source.session, "nonce": source.nonce, "lines": list(source.lines)}
