"""A line read the quick way is what the longer way makes of it, or is left to that."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.conversation.records import JournalRecord
from callout.core.keeping.quick_reading import quick_record
from callout.core.keeping.record_codec import RecordInvalid, from_plain
from callout.errors import JournalDamaged
from callout.journal.jsonl_reader import json_of, read_journal
from callout.journal.jsonl_writer import line_of
from tests.core.keeping.test_record_codec import ALL, FLIGHT

pytest.importorskip("msgspec")
LINES = [line_of(record) for record in (*ALL, *FLIGHT)]
GOLDEN = sorted((Path(__file__).parents[2] / "data" / "journals").glob("*.jsonl"))
scalars = (
    st.none()
    | st.booleans()
    | st.integers(-(10**20), 10**20)
    | st.floats()
    | st.text(max_size=6)
    | st.sampled_from(("match", "voice", "2031-05-04T12:00:00", "2031-05-04T12:00:00+02:00"))
)
values = scalars | st.lists(scalars, max_size=3) | st.dictionaries(st.text(max_size=4), scalars)


def longer(line: bytes) -> JournalRecord | None:
    """Return what the longer way makes of a line; None: it refuses it."""
    fields = json_of(line)
    try:
        return None if fields is None else from_plain(fields)
    except RecordInvalid:
        return None


def agrees(line: bytes) -> None:
    """Compare both ways; nothing is a good answer of the quick one."""
    quick = quick_record(line)
    if quick is not None:
        slow = longer(line)
        assert type(quick) is type(slow)
        assert repr(quick) == repr(slow)  # numbers by their type too, and what is no number


@pytest.mark.parametrize("line", LINES, ids=lambda line: str(json.loads(line)["type"]))
def test_every_kind_of_record(line: bytes) -> None:
    agrees(line)


def test_nearly_all_lines_of_a_list_go_the_quick_way() -> None:
    kinds = (r.Began, r.Challenged, r.Replied, r.Ended, r.Commanded, r.NotApplicable)
    usual = [record for record in ALL if isinstance(record, kinds)]
    assert [quick_record(line_of(record)) for record in usual] == usual


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_kept_journals(path: Path) -> None:
    lines = path.read_bytes().splitlines(keepends=True)
    for line in lines:
        agrees(line)
    kept = [longer(line) for line in lines]
    assert list(read_journal(path).records) == kept


@st.composite
def changed_lines(draw: st.DrawFn) -> bytes:
    """Return a line with a value changed, taken out or put in, at the top or one level down."""
    fields: dict[str, Any] = json.loads(draw(st.sampled_from(LINES)))
    inner = [value for value in fields.values() if isinstance(value, dict)]
    target = draw(st.sampled_from([fields, *inner]))
    key = draw(st.sampled_from([*target, "more"]))
    how = draw(st.sampled_from(("change", "drop", "last")))
    target.pop(key, None) if how == "drop" else target.update({key: draw(values)})
    if how == "last":
        target[key] = target.pop(key)
    return (
        json.dumps(fields, separators=(",", ":"), ensure_ascii=draw(st.booleans())).encode(
            "utf-8", "surrogatepass"
        )
        + b"\n"
    )


@given(changed_lines())
@settings(max_examples=400, deadline=None)
def test_lines_with_other_values(line: bytes) -> None:
    agrees(line)


@given(st.sampled_from(LINES), st.data())
@settings(max_examples=400, deadline=None)
def test_lines_with_bytes_changed(line: bytes, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(line)))
    end = start + data.draw(st.integers(0, 4))
    put = data.draw(
        st.binary(max_size=4) | st.sampled_from((b'"', b"}", b",", b'"seq":9,', b"1e9"))
    )
    agrees(line[:start] + put + line[end:])


@pytest.mark.parametrize(
    "more",
    [b'"seq":2', b'"utc":"2031-05-04T12:00:00"', b'"type":"held"', b'"schema":9', b'"at":1.5'],
)
def test_a_key_that_comes_twice_is_left_to_the_longer_way(more: bytes) -> None:
    line = line_of(r.Held("beacon", seq=3, utc=ALL[0].utc, at=1.0))
    assert quick_record(line) is not None
    assert quick_record(line.rstrip()[:-1] + b"," + more + b"}\n") is None


def test_a_time_without_its_zone_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    path.write_bytes(LINES[0].replace(b'123456Z"', b'123456"'))
    with pytest.raises(JournalDamaged, match="line 1 is damaged"):
        read_journal(path)
