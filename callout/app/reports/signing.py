"""Signs journals off, and checks later that nothing was changed."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from glob import escape
from pathlib import Path

from callout.app.reports.journals import lost_words
from callout.app.running.unfinished import is_unfinished
from callout.core.instructor.sign_off import (
    Covered,
    Result,
    SignOff,
    SignOffStatement,
    cover_journal,
    signed_statement,
)
from callout.core.instructor.verifying import SignOffFinding, What, check_chain, check_journals
from callout.core.sentences import journals as sentences
from callout.core.sentences.commands import report_answers
from callout.errors import CalloutError
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import in_use
from callout.journal.register import FILE, FOLDER, Register, append_sign_off, read_register


@dataclass(frozen=True, slots=True)
class SignOffWords:
    """What an instructor says about a trainee."""

    instructor: str
    trainee: str
    result: Result
    remark: str = ""


def register_in(folder: Path) -> Path:
    """Return where the register is stored, whether it exists or not."""
    return folder / FOLDER / FILE


def sign_off(
    register: Path, journals: Sequence[Path], said: SignOffWords, utc: datetime
) -> SignOff:
    """Add a sign-off of ``journals`` to ``register``; raises CalloutError for an unfinished one."""
    if not said.instructor.strip() or not said.trainee.strip():
        raise CalloutError(sentences.SIGN_OFF_NEEDS_NAMES, _NAMES)
    covered = [_covered_journal(path) for path in journals]
    statement = SignOffStatement(
        " ".join(said.instructor.split()),
        " ".join(said.trainee.split()),
        said.result,
        secrets.token_hex(16),
        said.remark.strip(),
    )
    return append_sign_off(
        register, lambda earlier: signed_statement(statement, covered, earlier, utc)
    )


_NAMES = "callout instructor sign JOURNAL --by NAME --trainee NAME"


def _covered_journal(path: Path) -> Covered:
    if path.is_dir():
        hint = sentences.folder_not_signed_hint(path)
        raise CalloutError(sentences.folder_not_signed(path), hint)
    if in_use(path):
        raise CalloutError(sentences.still_running(path), sentences.STILL_RUNNING_HINT)
    found = read_journal(path)
    if not found.records:
        raise CalloutError(report_answers.journal_has_no_records(path), sentences.NOTHING_TO_SIGN)
    if found.lost:
        raise CalloutError(f"{lost_words(found)}", sentences.INCOMPLETE_JOURNAL_HINT)
    if found.torn:
        hint = sentences.UNFINISHED_SESSION_HINT
        raise CalloutError(sentences.last_line_incomplete(path), hint)
    if is_unfinished(found.records):
        hint = sentences.INCOMPLETE_LINE_HINT
        raise CalloutError(sentences.session_not_finished(path), hint)
    return cover_journal(path.stem, path.read_bytes(), secrets.token_hex(16))


@dataclass(frozen=True, slots=True)
class Verified:
    """What a check of a register found."""

    register: Register
    findings: tuple[SignOffFinding, ...]
    journals: int
    """Number of journals checked."""

    @property
    def intact(self) -> bool:
        """True when nothing was changed."""
        return not any(finding.bad for finding in self.findings)


def verify_register(register: Path, folders: Iterable[Path], last: str = "") -> Verified:
    """Check the register and the journals it covers, looked for in ``folders``.

    last: hash of the last sign-off as noted elsewhere.
    """
    found = read_register(register)
    if not register.exists():
        raise CalloutError(sentences.no_register(register), f"Begin one with: {_NAMES}")
    findings = [SignOffFinding(What.UNREADABLE, 0, line=bad.number) for bad in found.bad]
    findings += check_chain(found.records, last)
    places = list(folders)
    count = 0
    for record in found.records:
        wanted = [c.source.session for c in record.journals if c.source]
        copies = {session: _journal_copies(places, session) for session in wanted}
        count += len(wanted)
        findings += check_journals(record, copies)
    return Verified(found, tuple(dict.fromkeys(findings)), count)


def _journal_copies(folders: Iterable[Path], session: str) -> list[bytes]:
    return [path.read_bytes() for folder in folders for path in _possible_places(folder, session)]


def _possible_places(folder: Path, session: str) -> Iterator[Path]:
    """Yield the possible files of one session; a hand-written name that contains a path is
    refused.
    """
    name = f"{session}.jsonl"
    if Path(name).name == name:
        yield from (path for path in folder.rglob(escape(name)) if path.is_file())
