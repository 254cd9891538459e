"""What somebody else wrote is bounded before it costs anything; the sentence names the limit."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.authoring.sources import draft_from_file
from callout.core.formats.draft_yaml import yaml_of
from callout.core.planning.templates import TemplateInvalid, check_template
from callout.errors import ChecklistInvalid


@pytest.mark.parametrize("name", ["list.txt", "list.csv", "list.md"])
def test_two_thousand_lines_are_read_and_no_more(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    line = "Parking brake,on\n" if name.endswith("csv") else "Parking brake .... on\n"
    path.write_text(line * 2_000)
    draft = draft_from_file(path)
    assert len(draft.items) >= 1_999
    ids = [x.split(": ")[1] for x in yaml_of(draft, teach=False).splitlines() if "- id: " in x]
    assert len(set(ids)) == len(ids) == len(draft.items)
    path.write_text(line * 2_001)
    with pytest.raises(ChecklistInvalid, match="more than 2,000 lines"):
        draft_from_file(path)


@pytest.mark.parametrize(
    "text",
    [
        "{'a'*1000000000}",
        "{'a'}",
        "{9**9**9}",
        "{qnh**qnh}",
        "{max('a', 'b')}",
        "{round(qnh, 'a' * 99999999)}",
        "{to(qnh, 'a' * 99999999)}",
        "{qnh % 2}",
        "{qnh << 99999}",
        "{-'a'}",
    ],
)
def test_expressions_that_cost_or_mean_nothing_are_refused_as_written(text: str) -> None:
    with pytest.raises(TemplateInvalid):
        check_template(text)


@pytest.mark.parametrize("text", ["{to(f, 'kg')}", "{quantity(5, 'kt') + v}", "{round(a / 2, 5)}"])
def test_names_of_units_are_no_text_to_work_with(text: str) -> None:
    assert check_template(text) == text
