"""Words of replies that a recogniser can never report."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from callout.app.list_files.checking import check_paths
from callout.app.listening import unknown_words


class SmallVocabulary:
    """A recogniser that knows a few words."""

    name = "small"

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        return tuple(word for word in words if word not in {"both", "on", "one", "zero"})


def test_unknown_words_are_named_with_their_item(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unknown_words, "open_recogniser", lambda engine: SmallVocabulary())
    (tmp_path / "list.yaml").write_text(
        "callout: 1\nid: taxi\ntitle: Taxi\nphase: taxi\nmethod: read-and-do\n"
        "complete: taxi checklist complete\nitems:\n"
        "  - {id: pumps, challenge: Pumps, response: both on}\n"
        "  - {id: valve, challenge: Valve, response: crossfed, wrong: isolated}\n"
    )
    (checked,) = check_paths([tmp_path], unknown_words.unknown_words_check())
    assert [(f.rule, f.item_id) for f in checked.findings] == [("unknown-words", "valve")]
    assert '"crossfed"' in checked.findings[0].message
