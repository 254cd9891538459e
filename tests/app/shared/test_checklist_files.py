"""Files on disk: what is refused, where, and what to do about it."""

from __future__ import annotations

import contextlib
import os
from contextlib import suppress
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from callout.app.shared import located_yaml
from callout.app.shared.checklist_files import (
    MAX_BYTES,
    flight_beside,
    load_checklist,
    load_flight,
    load_overlay,
    read_document,
)
from callout.app.shared.located_yaml import MAX_DEPTH, parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.model.located import Scalar, Table, from_plain, to_plain
from callout.core.model.problems import FileProblems
from callout.core.planning.quantities import ValueMissing
from callout.core.planning.resolve import expectation_for
from callout.errors import CalloutError, ChecklistInvalid

HEAD = """\
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
complete: before start checklist complete
"""
SECTION = "  - title: A\n    items: [{{id: {0}, challenge: {0}, response: on}}]\n"
GOOD = HEAD + "items:\n  - id: beacon\n    challenge: Beacon\n    response: on\n"


def write(folder: Path, text: str | bytes, name: str = "list.yaml") -> Path:
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def refusal(path: Path) -> ChecklistInvalid:
    with pytest.raises(ChecklistInvalid) as caught:
        load_checklist(path)
    error = caught.value
    assert error.exit_code == 2
    assert str(path) in error.message
    assert error.hint, "an error without a remedy"
    assert "\n" not in error.message
    return error


@pytest.mark.parametrize("word", ["on", "off", "yes", "no", "true", "null", "~x", "y", "n", "On"])
def test_words_that_yaml_guesses_at_stay_words(tmp_path: Path, word: str) -> None:
    """YAML 1.1's boolean type (yaml.org/type/bool.html) would turn most of these into flags."""
    path = write(tmp_path, GOOD.replace("response: on", f"response: {word}"))
    assert load_checklist(path).items[0].responses[0].text == word


@pytest.mark.parametrize(
    "number",
    ["005", "1013", "29.92", "0x1F", "1_000", "10:13", "118.700", "-5", "1e3", "2024-01-02"],
)
def test_numbers_keep_their_written_text(tmp_path: Path, number: str) -> None:
    path = write(tmp_path, GOOD.replace("response: on", f"response: {number}"))
    assert load_checklist(path).items[0].responses[0].text == number


def test_lines_are_those_of_the_file(tmp_path: Path) -> None:
    checklist = load_checklist(write(tmp_path, "# a comment\n\n" + GOOD))
    assert checklist.items[0].line == 10
    assert str(checklist.items[0].origin) == f"{tmp_path}/list.yaml:10"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (GOOD.replace("response: on", "respones: on"), 10, '"respones" is not a key'),
        (GOOD.replace("    response: on\n", ""), 8, 'an item has no "response"'),
        (GOOD.replace("response: on", "response:"), 10, "response is empty"),
        (GOOD.replace("response: on", 'response: ""'), 10, "response is empty"),
        (GOOD.replace("response: on", 'response: "  "'), 10, "response is empty"),
        (GOOD.replace("response: on", "response: [on, '']"), 10, "response is empty"),
        (GOOD.replace("response: on", "response: []"), 10, "response must hold"),
        (GOOD.replace("response: on", "response: '...'"), 10, "has no word in it"),
        (GOOD.replace("response: on", "response: [on, On]"), 10, "is listed twice"),
        (GOOD + "    wrong: 'On '\n", 11, "both as a response and as wrong"),
        (GOOD + "    wrong: [off, off]\n", 11, "is listed twice"),
        (GOOD + "    response: off\n", 11, '"response" is already given on line 10'),
        (GOOD + "    critical: maybe\n", 11, "critical must be yes or no"),
        (GOOD + "    when: night &\n", 11, "when:"),
        (GOOD + "    who: captain\n", 11, '"captain" is not a choice for who'),
        (GOOD + "    once: week\n", 11, '"week" is not a choice for once'),
        (GOOD + "  - {id: beacon, challenge: Doors, response: shut}\n", 11, "already used"),
        (GOOD + "  - {id: two, challenge: ' BEACON', response: on}\n", 11, "challenged twice"),
        (GOOD + "  - beacon\n", 11, "an item must be keys with values"),
        (GOOD.replace("callout: 1", "callout: 2"), 1, "version 1 is understood"),
        (GOOD.replace("callout: 1\n", ""), 1, 'has no "callout"'),
        (GOOD.replace("phase: before-start", "phase: before start"), 4, "not a choice for phase"),
        (GOOD.replace("id: beacon", "id: Beacon light"), 8, "id must be small letters"),
        (HEAD, 1, "the list has no items"),
        (GOOD + "sections:\n  - title: A\n    items: []\n", 13, "items must hold"),
        (HEAD + "sections:\n" + SECTION.format("a") + SECTION.format("b"), 10, "two sections"),
        (HEAD + "flow:\n  - panel: P\n    do: [{control: C, position: up}]\n", 1, "a flow does"),
        (GOOD + "sections:\n" + SECTION.format("a"), 1, "both sections and items"),
        (GOOD.replace("    challenge", "\tchallenge"), 9, "a tab is used to indent"),
        (GOOD.replace("response: on", "response: {a: b: c}"), 10, "not valid YAML"),
        (GOOD.replace("response: on", "response: a: b"), 10, "not valid YAML"),
        (GOOD.replace("response: on", "response: @on"), 10, "not valid YAML"),
        (GOOD.replace("response: on", 'response: "on'), 11, "not valid YAML"),
        (GOOD.replace("response: on", "response: !!python/name:os.system x"), 10, "tags"),
        (GOOD.replace("response: on", "response: &a on"), 10, "anchors"),
        (GOOD.replace("response: on", "response: *a"), 10, "aliases"),
        (GOOD.replace("response: on", "response: {? [a] : b}"), 10, "a key must be a word"),
        (GOOD.replace("response: on", "response: {text: on, value: qnh}"), 10, "not both"),
        (GOOD.replace("response: on", "response: {unit: hPa}"), 10, "either text or value"),
        (GOOD.replace("response: on", "response: 'flaps {'"), 10, "braces"),
        (GOOD.replace("response: on", "response: 'flaps {}'"), 10, "nothing between the braces"),
        (GOOD.replace("response: on", "response: '{a.b}'"), 10, "may only add"),
        (GOOD.replace("response: on", "response: {value: 'x; y'}"), 10, "is not a number"),
        (GOOD.replace("response: on", "response: {takeoff_flap}"), 10, "not a key of a response"),
        (GOOD.replace("Beacon", "Bea\u202econ"), 9, "cannot be shown"),
        (GOOD.replace("Beacon", "B" * 300), 9, "longer than 200"),
        (GOOD + "---\n" + GOOD, 11, "a second document"),
        ("", 1, "the file is empty"),
        ("# only a comment\n", 1, "the file is empty"),
        ("[" * 1000, 1, "levels are nested"),
        ("- " * 400 + "a", 1, "levels are nested"),
        ("just words", 1, "a checklist must be keys with values"),
        ("[1, 2]", 1, "a checklist must be keys with values"),
        ("a: \x07", 1, "cannot be read"),
    ],
)  # fmt: skip
def test_each_defect_names_its_line(tmp_path: Path, text: str, line: int, says: str) -> None:
    error = refusal(write(tmp_path, text))
    assert error.message.startswith(f"{tmp_path}/list.yaml, line {line}: ")
    assert says in error.message


def test_a_mistyped_key_gets_a_suggestion(tmp_path: Path) -> None:
    error = refusal(write(tmp_path, GOOD.replace("response: on", "respones: on")))
    assert 'Did you mean "response"?' in error.hint
    braces = refusal(write(tmp_path, GOOD.replace("response: on", "response: {takeoff_flap}")))
    assert "quotes" in braces.hint


def test_a_field_path_goes_with_each_problem(tmp_path: Path) -> None:
    text = GOOD.replace("items:", "sections:\n- title: A\n  items:") + "    critical: maybe\n"
    with pytest.raises(FileProblems) as caught:
        load_checklist(write(tmp_path, text))
    assert caught.value.problems[0].path == "sections[0].items[0].critical"


def test_up_to_ten_problems_are_kept_in_order(tmp_path: Path) -> None:
    items = "".join(f"  - id: i{n}\n    challenge: C{n}\n    respons: on\n" for n in range(30))
    with pytest.raises(FileProblems) as caught:
        load_checklist(write(tmp_path, HEAD + "items:\n" + items))
    lines = [problem.line for problem in caught.value.problems]
    assert len(lines) == 10
    assert lines == sorted(lines)
    assert "9 more" in caught.value.hint


def test_a_section_condition_joins_its_items_own(tmp_path: Path) -> None:
    long = " and ".join(["night"] * 20)
    item = f"{{id: a, challenge: A, response: on, when: {long}}}"
    text = f"{HEAD}sections:\n  - title: A\n    when: {long}\n    items: [{item}]\n"
    condition = load_checklist(write(tmp_path, text)).items[0].when
    assert condition is not None
    assert condition.facts == ("night",)


def test_encodings(tmp_path: Path) -> None:
    assert load_checklist(write(tmp_path, b"\xef\xbb\xbf" + GOOD.encode())).id == "before-start"
    assert "UTF-16" in refusal(write(tmp_path, GOOD.encode("utf-16"))).message
    latin = refusal(write(tmp_path, GOOD.replace("Beacon", "Bön").encode("latin-1")))
    assert "line 9: this is not UTF-8" in latin.message


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_line_ends_of_any_system(tmp_path: Path, newline: str) -> None:
    checklist = load_checklist(write(tmp_path, GOOD.replace("\n", newline)))
    assert checklist.items[0].line == 8


def test_large_files_are_not_read_to_the_end(tmp_path: Path) -> None:
    assert "larger than 1 MB" in refusal(write(tmp_path, b"# " + b"x" * 10_000_000)).message
    exact = GOOD.encode() + b"#" + b"x" * (MAX_BYTES - len(GOOD.encode()) - 1)
    assert load_checklist(write(tmp_path, exact)).id == "before-start"
    assert "larger" in refusal(write(tmp_path, exact + b"x")).message


def test_an_alias_bomb_is_refused_at_its_first_anchor(tmp_path: Path) -> None:
    bomb = "a: &a [lol, lol]\n" + "".join(
        f"{chr(98 + n)}: &{chr(98 + n)} [{', '.join(f'*{chr(97 + n)}' for _ in range(9))}]\n"
        for n in range(20)
    )
    assert "line 1: anchors" in refusal(write(tmp_path, bomb)).message


def test_many_entries_are_refused(tmp_path: Path) -> None:
    assert "entries" in refusal(write(tmp_path, "- a\n" * 60_000)).message


def test_folders_and_missing_files(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path).message
    assert "does not exist" in refusal(tmp_path / "no.yaml").message
    assert "cannot be read" in refusal(tmp_path / ("x" * 5000)).message
    with pytest.raises(ChecklistInvalid, match="cannot be read"):
        load_checklist("a\x00b")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    assert "is not a file" in refusal(tmp_path / "pipe.yaml").message


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads everything")
def test_unreadable(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD)
    path.chmod(0)
    assert "Permission denied" in refusal(path).message


def test_depth_limit_is_exact() -> None:
    def nested(depth: int) -> str:
        return "[" * depth + "a" + "]" * depth

    assert parse_yaml(nested(MAX_DEPTH), "f")
    with pytest.raises(FileProblems):
        parse_yaml(nested(MAX_DEPTH + 1), "f")


def test_flight_file_beside_a_list(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD)
    assert flight_beside(path) is None
    beside = write(tmp_path, "callout: 1\nfacts: {night: no}\n", "flight.yaml")
    assert flight_beside(path) == beside
    assert load_flight(beside).facts == {"night": False}


def test_a_file_of_another_kind_is_named_as_such(tmp_path: Path) -> None:
    listed = write(tmp_path, GOOD)
    flight = write(tmp_path, "callout: 1\nfacts: {night: no}\n", "flight.yaml")
    overlay = write(tmp_path, "callout: 1\noverlay: a\ntitle: O\nchanges: []\n", "over.yaml")
    for load, path, kind in (
        (load_checklist, flight, "flight"),
        (load_checklist, overlay, "overlay"),
        (load_flight, listed, "checklist"),
        (load_overlay, listed, "checklist"),
    ):
        with pytest.raises(ChecklistInvalid, match=f"this is a {kind} file, not") as caught:
            load(path)
        assert caught.value.hint


def test_overlays_are_merged_in_order(tmp_path: Path) -> None:
    base = write(tmp_path, GOOD)
    head = "callout: 1\noverlay: before-start\n"
    one = write(
        tmp_path,
        head + "title: One\nchanges:\n  - {reword: beacon, challenge: Strobe}\n",
        "one.yaml",
    )
    two = write(
        tmp_path,
        head + "title: Two\nchanges:\n  - {tighten: beacon, critical: yes}\n",
        "two.yaml",
    )
    merged = load_checklist(base, [one, two])
    assert merged.overlays == ("One", "Two")
    assert (merged.items[0].challenge, merged.items[0].critical) == ("Strobe", True)
    assert load_overlay(one).title == "One"


@pytest.mark.parametrize("reply", ["off", "not on", "standby"])
def test_an_overlay_cannot_turn_a_reply_round(tmp_path: Path, reply: str) -> None:
    head = "callout: 1\noverlay: before-start\ntitle: One\nchanges:\n"
    text = f"{head}  - {{reword: beacon, response: {reply}}}\n"
    with pytest.raises(ChecklistInvalid, match=r"line 5: .* turns round") as caught:
        load_checklist(write(tmp_path, GOOD), [write(tmp_path, text, "one.yaml")])
    assert caught.value.hint


def test_reading_gives_back_what_was_written(tmp_path: Path) -> None:
    node = read_document(write(tmp_path, "a: [1, on, {b: 'x: y'}]\n"))
    assert to_plain(node) == {"a": ["1", "on", {"b": "x: y"}]}
    assert isinstance(node, Table)
    assert node.entries[0][0] == Scalar("a", 1)


SHIPPED = sorted((Path(__file__).parents[3] / "checklists").rglob("*.yaml"))


FLIGHT = load_flight(next(path for path in SHIPPED if path.name == "flight.yaml"))


def survives(path: Path) -> None:
    for load in (worked, load_flight, load_overlay):
        error = None
        try:
            load(path)
        except CalloutError as refused:
            error = refused
        assert error is None or (error.hint and str(path) in error.message)


def worked(path: Path) -> None:
    """Load a list and work out every item on a shipped flight, of another aircraft as it may be."""
    checklist = load_checklist(path)
    for item in checklist.items:
        with suppress(ValueMissing):  # asked for during a session
            expectation_for(checklist, item, FLIGHT, default_tables())


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(str.encode)))
def test_any_bytes_are_read_or_refused(tmp_path: Path, data: bytes) -> None:
    survives(write(tmp_path, data))


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.data())
def test_damaged_lists_are_read_or_refused(tmp_path: Path, data: st.DataObject) -> None:
    source = data.draw(st.sampled_from(SHIPPED)).read_bytes()
    at = data.draw(st.integers(0, len(source)))
    cut = data.draw(st.integers(0, 40))
    insert = data.draw(
        st.one_of(
            st.sampled_from([b"", b"\t", b"&a ", b"*a", b"!!x ", b"{", b"[", b"'", b": ", b"\n- "]),
            st.binary(max_size=8),
        )
    )
    survives(write(tmp_path, source[:at] + insert + source[at + cut :]))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_without_libyaml_the_same_is_read(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class PlainLoader(yaml.SafeLoader):
        pass

    with_library = read_document(path)
    monkeypatch.setattr(located_yaml, "LocatedLoader", PlainLoader)
    assert read_document(path) == with_library


PLAIN = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.text(max_size=12)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.sampled_from(["id", "items", "response", "challenge", "callout", "value", "do"]),
            inner,
            max_size=5,
        ),
    ),
    max_leaves=20,
)


@settings(max_examples=150, deadline=None)
@given(PLAIN)
def test_any_document_is_read_or_refused(plain: object) -> None:
    for read in (checklist_from, flight_from, overlay_from):
        with contextlib.suppress(ChecklistInvalid):
            read(from_plain(plain), "f")
