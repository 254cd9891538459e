"""Kept sound played from a debrief inside the page: the document is sandboxed, without scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from callout.core.checklist_run.records import Replied
from callout.journal.sound_files import SoundFiles
from tests.reporting.kit import heard_to_its_end, keep, rough
from tests.web.app_kit import CHROMIUM, DESK, App, chromium, complaints, enter

playwright = pytest.importorskip("playwright.sync_api", reason="pip install '.[glance-test]'")
pytest.importorskip("matplotlib")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM, reason="no Chromium is installed"),
]


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    folder = tmp_path / "journals"
    folder.mkdir()
    records = rough()
    journal = keep(folder, records[0].session_id, records)
    tone = np.sin(np.arange(8_000) / 8.0) * 9_000
    for record in records:
        if isinstance(record, Replied):
            assert SoundFiles().keep(journal, record.seq, tone.astype(np.int16)) == ""
    made = App(tmp_path)
    yield made
    made.close()


def test_a_kept_reply_is_played_from_the_debrief(app: App) -> None:
    with chromium(playwright) as browser:
        context = browser.new_context(viewport=DESK)
        page: Any = enter(context, app)
        page.click("#ways >> text=Debriefs")
        page.click("#sessions li a")
        document = page.frame_locator("#debrief-page")
        document.locator("h3 + ul a[href^='#moment-']").first.click()
        heard_to_its_end(page, document.locator("audio:visible").first)
        own = "Blocked script execution"  # of this test's questions to the document
        assert [said for said in complaints(page) if own not in said] == []
        context.close()
