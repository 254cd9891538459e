"""Sign-offs: the hash against its published vectors, the chain against every edit."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.instructor.canonical import canonical_json, hash_of, sha256_hex
from callout.core.instructor.sign_off import (
    Result,
    SignOff,
    SignOffStatement,
    cover_journal,
    forget_names,
    signed_statement,
    to_plain,
)
from callout.core.instructor.sign_off_reading import SignOffInvalid, from_plain
from callout.core.instructor.verifying import What, check_chain, check_journals

WHEN = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
JOURNAL = b'{"seq":1}\n{"seq":2}\n{"seq":3}\n'


@pytest.mark.parametrize(
    ("message", "digest"),
    [
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    ],
)
def test_the_hash_gives_the_published_digests(message: bytes, digest: str) -> None:
    """NIST's example values for FIPS 180-4, SHA-256: one block, two blocks, none, long."""
    assert sha256_hex(message) == digest


def test_the_canonical_form_is_that_of_the_standard() -> None:
    """RFC 8785, the example of section 3.2.2 to 3.2.4 (typed in from memory)."""
    given_text = (
        r'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
        r'"string": "\u20ac$\u000F\u000aA' + r"'" + r'\u0042\u0022\u005c\\\"\/",'
        r'"literals": [null, true, false]}'
    )
    wanted = (
        '{"literals":[null,true,false],'
        '"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
    assert canonical_json(json.loads(given_text)) == wanted.encode()


def test_keys_are_sorted_by_utf_16_code_units() -> None:
    """RFC 8785, section 3.2.3: a character beyond the first plane sorts by its surrogates."""
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    found = list(json.loads(canonical_json(dict.fromkeys(keys, 0))))
    assert found == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


def test_what_has_no_canonical_form_is_refused() -> None:
    with pytest.raises(ValueError, match="canonical"):
        canonical_json(float("nan"))


@settings(deadline=None)
@given(st.dictionaries(st.text(max_size=5), st.integers(-9, 9), max_size=6), st.randoms())
def test_order_of_keys_does_not_matter(value: dict[str, int], chance: object) -> None:
    turned = dict(reversed(list(value.items())))
    assert hash_of(turned) == hash_of(value)


def _statement(trainee: str = "Wren Aldous", remark: str = "good scan") -> SignOffStatement:
    return SignOffStatement("Ines Varga", trainee, Result.SATISFACTORY, "5a5a", remark)


def _chain(count: int = 3) -> list[SignOff]:
    records: list[SignOff] = []
    for n in range(count):
        journals = [cover_journal(f"session-{n}", JOURNAL, f"{n:04}")]
        records.append(signed_statement(_statement(remark=f"remark {n}"), journals, records, WHEN))
    return records


def _whats(records: list[SignOff], last: str = "") -> set[tuple[What, int]]:
    return {(f.what, f.seq) for f in check_chain(records, last)}


def test_a_chain_left_alone_is_true() -> None:
    chain = _chain()
    assert not list(check_chain(chain, chain[-1].hash))
    found = [check_journals(r, {f"session-{n}": [JOURNAL]}) for n, r in enumerate(chain)]
    assert not [finding for one in found for finding in one]


def test_a_record_survives_its_file() -> None:
    for record in (*_chain(), forget_names(_chain()[0], frozenset({"session-0"}))):
        assert from_plain(json.loads(canonical_json(to_plain(record)))) == record


@settings(deadline=None)
@given(st.data())
def test_any_change_of_any_field_shows(data: st.DataObject) -> None:
    """Whatever is changed in the file, the check names the record or one after it."""
    chain = _chain()
    number = data.draw(st.integers(0, 2))
    plain = json.loads(canonical_json(to_plain(chain[number])))
    path = data.draw(st.sampled_from(sorted(_leaves(plain), key=str)))
    _edit(plain, path)
    try:
        edited = from_plain(plain)
    except SignOffInvalid:
        return  # the file no longer holds a sign-off there: also seen
    records = [*chain[:number], edited, *chain[number + 1 :]]
    found = [f for f in check_chain(records) if f.bad]
    copies = {f"session-{n}": [JOURNAL] for n in range(3)}
    found += [f for record in records for f in check_journals(record, copies) if f.bad]
    assert found, path
    assert min(f.seq for f in found) >= 1


def _leaves(value: object, path: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    if isinstance(value, dict):
        return [leaf for key, one in value.items() for leaf in _leaves(one, (*path, key))]
    if isinstance(value, list):
        return [leaf for n, one in enumerate(value) for leaf in _leaves(one, (*path, n))]
    return [path]


def _edit(value: object, path: tuple[object, ...]) -> None:
    *way, last = path
    for step in way:
        value = value[step]  # type: ignore[index]
    old = value[last]  # type: ignore[index]
    value[last] = old + 1 if isinstance(old, int) else _other(old)  # type: ignore[index]


def _other(text: str) -> str:
    return text[:-1] + ("1" if text.endswith("0") else "0") if text else "x"


def test_a_sign_off_removed_from_the_middle_shows() -> None:
    chain = _chain()
    assert (What.BEFORE_CHANGED, 3) in _whats([chain[0], chain[2]])


def test_two_sign_offs_in_another_order_show() -> None:
    chain = _chain()
    assert _whats([chain[1], chain[0], chain[2]])


def test_the_loss_of_the_last_shows_only_against_a_noted_hash() -> None:
    chain = _chain()
    assert not _whats(chain[:2])
    assert _whats(chain[:2], chain[2].hash) == {(What.LAST_MISSING, 0)}


def test_a_whole_chain_made_anew_shows_against_a_noted_hash() -> None:
    noted = _chain()[-1].hash
    again = [signed_statement(_statement("Somebody Else"), (), (), WHEN)]
    assert _whats(again, noted) == {(What.LAST_MISSING, 0)}


@pytest.mark.parametrize(
    ("data", "what", "line"),
    [
        (JOURNAL.replace(b'"seq":2', b'"seq":9'), What.JOURNAL_CHANGED, 2),
        (JOURNAL[:-1], What.JOURNAL_CHANGED, 3),
        (JOURNAL[:10], What.JOURNAL_CUT, 2),
        (b"", What.JOURNAL_CUT, 1),
        (JOURNAL + b'{"seq":4}\n', What.WENT_ON, None),
    ],
)
def test_a_changed_journal_is_named_with_its_line(
    data: bytes, what: What, line: int | None
) -> None:
    record = _chain()[0]
    (found,) = check_journals(record, {"session-0": [data]})
    assert (found.what, found.session, found.line) == (what, "session-0", line)
    assert found.bad


def test_a_changed_copy_shows_beside_a_true_one_and_none_is_missing() -> None:
    record = _chain()[0]
    assert not list(check_journals(record, {"session-0": [JOURNAL, JOURNAL]}))
    found = list(check_journals(record, {"session-0": [b"other", JOURNAL]}))
    assert [f.what for f in found] == [What.JOURNAL_CHANGED]
    assert found[0].bad
    assert [f.what for f in check_journals(record, {})] == [What.JOURNAL_MISSING]


def test_forgetting_keeps_the_chain_and_no_name() -> None:
    chain = _chain()
    cut = [forget_names(record, frozenset({"session-1"})) for record in chain]
    assert not [f for f in check_chain(cut, chain[-1].hash) if f.bad]
    text = canonical_json(to_plain(cut[1])).decode()
    assert "Aldous" not in text
    assert "session-1" not in text
    assert (What.FORGOTTEN, 2) in _whats(cut)


def test_forgetting_a_person_finds_the_name_in_a_remark_too() -> None:
    record = signed_statement(_statement(remark="flew with WREN aldous"), (), (), WHEN)
    assert forget_names(record, frozenset(), "Wren Aldous").statement is None
    assert forget_names(record, frozenset(), "Nobody Here") == record


def test_a_forgotten_part_cannot_be_put_back_otherwise() -> None:
    chain = _chain()
    cut = forget_names(chain[0], frozenset({"session-0"}))
    false = replace(cut, statement=_statement("Somebody Else"))
    assert (What.STATEMENT_CHANGED, 1) in _whats([false, *chain[1:]])


def test_the_time_needs_its_zone() -> None:
    with pytest.raises(ValueError, match="zone"):
        signed_statement(_statement(), (), (), datetime(2026, 3, 1))  # noqa: DTZ001


def test_a_later_version_is_said_to_be_one() -> None:
    plain = {**to_plain(_chain()[0]), "schema": 9}
    with pytest.raises(SignOffInvalid, match="version 9"):
        from_plain(plain)


def test_only_the_sealed_proof_says_that_something_was_forgotten_on_purpose() -> None:
    chain = _chain()
    cut = forget_names(chain[0], frozenset({"session-0"}))
    again = from_plain(to_plain(cut))
    assert again == cut
    found = [*check_chain([cut, *chain[1:]]), *check_journals(cut, {})]
    assert {f.what for f in found} == {What.FORGOTTEN}
    blanked = replace(
        chain[0],
        statement=None,
        journals=tuple(replace(one, source=None) for one in chain[0].journals),
    )
    for proof in ("", "0" * 64, cut.journals[0].proof[::-1]):
        by_hand = replace(blanked, proof=proof)
        found = [*check_chain([by_hand, *chain[1:]]), *check_journals(by_hand, {})]
        assert {f.what for f in found} == {What.BLANKED}
        assert all(f.bad for f in found)


def test_a_number_out_of_range_is_no_sign_off() -> None:
    plain = to_plain(_chain()[0])
    for number in (10**5000, 2**53, -1):
        with pytest.raises(SignOffInvalid):
            from_plain({**plain, "seq": number})
