"""The register on the disk: several writers, a full disk, a crash in the middle."""

from __future__ import annotations

import errno
import os
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import pytest

from callout.core.instructor.sign_off import (
    Result,
    SignOff,
    SignOffStatement,
    cover_journal,
    forget_names,
    signed_statement,
)
from callout.core.instructor.verifying import check_chain
from callout.errors import CalloutError
from callout.journal.register import append_sign_off, read_register, rewrite_register

WHEN = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


def _add(path: Path, number: int) -> SignOff:
    said = SignOffStatement("Ines Varga", f"Trainee {number}", Result.SATISFACTORY, f"{number:04}")
    journals = [cover_journal(f"session-{number}", b"{}\n", f"{number:04}")]
    return append_sign_off(path, lambda earlier: signed_statement(said, journals, earlier, WHEN))


def test_sign_offs_at_the_same_time_make_one_chain(tmp_path: Path) -> None:
    path = tmp_path / "register.jsonl"
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda n: _add(path, n), range(8)))
    found = read_register(path)
    assert len(found.records) == 8
    assert not list(check_chain(found.records))


def test_a_full_disk_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "register.jsonl"
    _add(path, 1)
    before = path.read_bytes()
    real = os.write

    def half(file: int, data: bytes) -> int:
        real(file, bytes(data)[:20])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", half)
    with pytest.raises(CalloutError, match="No space left"):
        _add(path, 2)
    monkeypatch.undo()
    assert path.read_bytes() == before
    assert _add(path, 2).seq == 2


def test_forgetting_that_is_broken_off_leaves_the_old_register(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "register.jsonl"
    _add(path, 1)
    before = path.read_bytes()

    def fail(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr("callout.journal.register.os.replace", fail)
    with pytest.raises(OSError, match="Input/output"):
        rewrite_register(path, lambda r: forget_names(r, frozenset({"session-1"})))
    monkeypatch.undo()
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == [path.name]
    assert rewrite_register(path, lambda r: forget_names(r, frozenset({"session-1"}))) == 1
    assert b"Trainee 1" not in path.read_bytes()


def test_a_line_that_is_no_sign_off_stops_signing_and_is_named(tmp_path: Path) -> None:
    path = tmp_path / "register.jsonl"
    _add(path, 1)
    with path.open("ab") as file:
        file.write(b"{}\n")
    before = path.read_bytes()
    with pytest.raises(CalloutError, match="line 2 is damaged"):
        _add(path, 2)
    assert path.read_bytes() == before
    assert [bad.number for bad in read_register(path).bad] == [2]
