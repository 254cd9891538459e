"""One list with its flight: what `run` uses, and what a resume can find again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from callout.app.running.done_earlier import read_past
from callout.app.running.flight_folder import taken_over
from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.shared.own_wordings import wordings_of
from callout.app.shared.settings import Settings
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.planning.plan import Plan
from callout.core.planning.plan_inputs import Setting
from callout.core.planning.run_plan import Before
from callout.errors import CalloutError


def load_setting(
    checklist: str,
    flight: str | None,
    overlays: Sequence[str],
    journals: Path,
    settings: Settings,
    *,
    received: bool = False,
    tell: Callable[[str], None] = lambda problem: None,
) -> tuple[Setting, dict[str, str]]:
    """Return a list's setting and the files it comes from; raises ChecklistInvalid.

    received: the aircraft is taken over from another crew, so nothing done before counts. tell: is
    given a sentence about each of the person's own wordings that cannot be used.
    """
    items = load_checklist(checklist, overlays)
    beside = flight or flight_beside(checklist)
    data = load_flight(beside) if beside else EMPTY_FLIGHT
    aircraft = data.aircraft or str(Path(checklist).resolve().parent.name)
    items, problems = wordings_of(journals, settings.crew_name).applied(items, aircraft)
    for problem in problems:
        tell(problem)
    now = datetime.now().astimezone()
    past = {}
    if not received and any(item.once for item in items.items):
        past = read_past(journals, aircraft, (items,), now).done(items, now, settings.crew_name)
    data = taken_over(data) if received else data
    data = replace(data, lacks=(*data.lacks, *settings.lacking))
    about = {"file": str(Path(checklist).resolve()), "aircraft": aircraft}
    about |= {"operator": data.operator} if data.operator else {}
    about |= {"flight": str(Path(beside).resolve())} if beside else {}
    about |= {"overlays": "\n".join(str(Path(o).resolve()) for o in overlays)} if overlays else {}
    about |= {"received": "yes"} if received else {}
    return Setting(items, data, settings.seats, Before(done=past)), about


def setting_again(
    about: Mapping[str, str], plan: Plan, journals: Path, settings: Settings
) -> Setting | None:
    """Return the setting of a resumed session; None if its files have changed.

    The session itself needs no files; only a change of the set-up does.
    """
    overlays = [name for name in about.get("overlays", "").split("\n") if name]
    try:
        setting, _ = load_setting(
            about.get("file", ""),
            about.get("flight"),
            overlays,
            journals,
            settings,
            received="received" in about,
        )
    except CalloutError:
        return None
    same = tuple(i.id for i in setting.checklist.items) == tuple(i.id for i in plan.items)
    return setting if same else None
