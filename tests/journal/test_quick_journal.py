"""A journal read in one go is what reading it line by line gives, or is left to that."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.errors import JournalDamaged
from callout.journal import jsonl_reader as reader
from callout.journal.jsonl_writer import body_of
from callout.journal.seals import START, seal_line
from tests.core.debrief.test_tally import GOLDEN

PATH = Path("some.jsonl")


def sealed(data: bytes) -> bytes:
    """Return a journal's records with a seal on each."""
    before, lines = START, []
    for number, body in enumerate(data.splitlines()):
        fields = reader.json_of(body)
        assert fields is not None, number
        line, before = seal_line(body_of(reader.record_of(fields)), before)
        lines.append(line)
    return b"".join(lines)


UNSEALED = [p.read_bytes() for p in GOLDEN if b'"sum":"' not in p.read_bytes()]
JOURNALS = [*(p.read_bytes() for p in GOLDEN), *map(sealed, UNSEALED)]


def compare(data: bytes) -> bool:
    """Compare both ways; say whether there is a quick one."""
    quick = reader._read_quickly(PATH, data)
    if quick is not None:
        assert repr(quick) == repr(reader._read_closely(PATH, BytesIO(data)))
    return quick is not None


@pytest.mark.parametrize("data", JOURNALS, ids=len)
def test_whole_journals(data: bytes) -> None:
    compare(data)


def test_most_journals_go_the_quick_way() -> None:
    pytest.importorskip("msgspec")
    assert UNSEALED
    assert sum(map(compare, JOURNALS)) > 1


@st.composite
def damaged(draw: st.DrawFn) -> bytes:
    """Return a journal with a piece taken out, doubled, changed or moved."""
    data = draw(st.sampled_from(JOURNALS))
    if draw(st.booleans()):
        lines = data.splitlines(keepends=True)
        n, m = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        lines.insert(m, lines.pop(n) if draw(st.booleans()) else lines[n])
        return b"".join(lines)
    first = draw(st.integers(0, len(data)))
    last = min(len(data), first + draw(st.integers(0, 40)))
    put = draw(st.sampled_from((b"", b"\n", b"\r\n", b"0", b'"seq":1,', b"\xff", data[first:last])))
    return data[:first] + put + data[last:]


@given(damaged())
@settings(max_examples=400, deadline=None)
def test_damaged_journals(data: bytes) -> None:
    compare(data)


def test_a_changed_letter_is_damage(tmp_path: Path) -> None:
    data = sealed(UNSEALED[0])
    place = data.index(b'"at":') + 5
    (tmp_path / "a.jsonl").write_bytes(data[:place] + b"9" + data[place:])
    with pytest.raises(JournalDamaged, match="line 1 is damaged"):
        reader.read_journal(tmp_path / "a.jsonl")
