"""What has been changed since it was signed, and where."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from callout.core.instructor.canonical import NO_HASH, sha256_hex
from callout.core.instructor.sign_off import (
    LINE_DIGITS,
    Covered,
    SignOff,
    is_proven,
    is_true,
    source_is_true,
    statement_is_true,
)


class What(Enum):
    """What was found."""

    SIGN_OFF_CHANGED = "sign-off-changed"
    STATEMENT_CHANGED = "statement-changed"
    BEFORE_CHANGED = "before-changed"
    """An earlier sign-off was changed, removed or inserted."""
    LAST_MISSING = "last-missing"
    """The chain does not end with the hash that was noted elsewhere."""
    UNREADABLE = "unreadable"
    JOURNAL_CHANGED = "journal-changed"
    JOURNAL_CUT = "journal-cut"
    JOURNAL_MISSING = "journal-missing"
    WENT_ON = "went-on"
    """The journal contains everything that was signed, and more: only finished sessions are signed,
    so nothing may follow.
    """
    FORGOTTEN = "forgotten"
    """Names, or a journal, were removed on purpose, with the sealed proof; the hashes stay."""
    BLANKED = "blanked"
    """They were removed without that proof: by hand, or by a version that stored none."""


_HARMLESS = {What.FORGOTTEN}


@dataclass(frozen=True, slots=True)
class SignOffFinding:
    """One finding about a sign-off."""

    what: What
    seq: int
    """Number of the sign-off; 0: the register as a whole."""
    session: str = ""
    line: int | None = None
    """Line of the journal, from 1."""

    @property
    def bad(self) -> bool:
        """True when something was changed."""
        return self.what not in _HARMLESS


def check_chain(records: Sequence[SignOff], last: str = "") -> Iterator[SignOffFinding]:
    """Yield what is wrong with the sign-offs themselves.

    last: hash of the last sign-off as noted elsewhere; without it, missing last sign-offs or a
    recreated chain cannot be detected.
    """
    before = NO_HASH
    for number, record in enumerate(records, 1):
        if not is_true(record):
            yield SignOffFinding(What.SIGN_OFF_CHANGED, record.seq)
        if record.before != before or record.seq != number:
            yield SignOffFinding(What.BEFORE_CHANGED, record.seq)
        if not statement_is_true(record):
            yield SignOffFinding(What.STATEMENT_CHANGED, record.seq)
        if record.statement is None:
            yield SignOffFinding(_what_is_gone(record.release, record.proof), record.seq)
        before = record.hash
    noted = last.strip().casefold()
    if noted and not any(record.hash == noted for record in records):
        yield SignOffFinding(What.LAST_MISSING, 0)


def _what_is_gone(release: str, proof: str) -> What:
    return What.FORGOTTEN if is_proven(release, proof) else What.BLANKED


def check_journals(
    record: SignOff, copies: Mapping[str, Iterable[bytes]]
) -> Iterator[SignOffFinding]:
    """Yield what is wrong with the journals that ``record`` covers.

    copies: the bytes of each journal found, by session; each copy must be as it was signed.
    """
    for covered in record.journals:
        if covered.source is None:
            yield SignOffFinding(_what_is_gone(covered.release, covered.proof), record.seq)
        elif not source_is_true(covered):
            yield SignOffFinding(What.STATEMENT_CHANGED, record.seq, covered.source.session)
        else:
            yield from _check_covered(
                record.seq, covered, list(copies.get(covered.source.session, ()))
            )


def _check_covered(seq: int, covered: Covered, copies: list[bytes]) -> Iterator[SignOffFinding]:
    assert covered.source is not None
    session = covered.source.session
    if not copies:
        yield SignOffFinding(What.JOURNAL_MISSING, seq, session)
        return
    found = [_compare_bytes(seq, covered, data) for data in copies]
    yield from dict.fromkeys(f for f in found if f is not None)


def _compare_bytes(seq: int, covered: Covered, data: bytes) -> SignOffFinding | None:
    assert covered.source is not None
    session = covered.source.session
    if sha256_hex(data[: covered.size]) == covered.sha256:
        return SignOffFinding(What.WENT_ON, seq, session) if len(data) > covered.size else None
    lines = data.splitlines(keepends=True)
    for number, mark in enumerate(covered.source.lines, 1):
        if number > len(lines):
            return SignOffFinding(What.JOURNAL_CUT, seq, session, number)
        if sha256_hex(lines[number - 1])[:LINE_DIGITS] != mark:
            return SignOffFinding(What.JOURNAL_CHANGED, seq, session, number)
    return SignOffFinding(What.JOURNAL_CHANGED, seq, session)
