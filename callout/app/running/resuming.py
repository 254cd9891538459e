"""Continues an interrupted list or flight, in any view."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from callout.app.running.flying import resume_flight
from callout.app.running.glancing import glance_page
from callout.app.running.list_session import resume_session
from callout.app.running.single_list import setting_again
from callout.app.running.state_source import declared_in, open_state_source
from callout.app.running.wishes import Wishes, with_wishes
from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import Settings
from callout.core.flight_run.records import SectorBegan
from callout.core.planning.plan import Plan
from callout.core.planning.plan_inputs import Setting
from callout.journal.jsonl_reader import JournalRead


def go_on(read: JournalRead, folder: Path, settings: Settings, wanted: Wishes) -> None:
    """Return to the exact item of an unfinished journal; folder: where lists' journals are."""
    settings = with_wishes(settings, wanted)
    path = read.path
    if isinstance(read.records[0], SectorBegan):
        declared = declared_in(read.records[0].about)
        with (
            glance_page(wanted, path.parent.parent) as page,
            open_state_source(page, declared) as shown,
        ):
            resume_flight(read, path.parent.parent, settings, shown, safety=SAFETY)
        return

    def setting_of(about: Mapping[str, str], plan: Plan) -> Setting | None:
        return setting_again(about, plan, folder, settings)

    declared = declared_in(getattr(read.records[0], "about", {}))
    with glance_page(wanted, folder) as page, open_state_source(page, declared) as shown:
        resume_session(path, settings, shown, safety=SAFETY, setting_of=setting_of)
