"""The demonstration of a drill: the same drill, with recordings in place of the microphone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from callout.app.running.demo import BRISK, CuedEar, NoKeys, Script, recording_ear, recordings_named
from callout.app.running.drilling import DrillWish, drill_exercises
from callout.app.running.wishes import Wishes
from callout.app.shared.checklist_files import load_checklist, load_flight
from callout.app.shared.settings import load_settings
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.conversation.pacing import Pacing
from callout.core.drill.entries import Entry, Page, entries_of
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick
from callout.core.drill.summary import DrillSummary
from callout.core.planning.run_plan import plan_for
from callout.journal.demonstrations import DEMONSTRATION, DEMONSTRATIONS, MADE

MARK = "demo"
_SEEDS = 100


class _DrillScript(Script):
    """Recordings by item; the listening ids of a drill also contain the attempt."""

    def cue(self, item_id: str) -> None:
        """Note what is being asked."""
        super().cue(item_id.split("@", 1)[0])


def show_drill(
    folder: Path, wishes: Wishes, *, fast: bool, tell: Callable[[str], None], safety: str
) -> DrillSummary:
    """Run the demonstration; its journal goes below ``folder``, apart from your own drills.

    fast: no pacing. tell: takes one line for each recording that is played.
    """
    exercises, replies = load_drill_demo()
    script = _DrillScript({item: recordings_named(names) for item, names in replies.items()})
    settings = load_settings()
    ear = recording_ear(script, wishes.engine, fast, lambda r: tell(f"[recording] {r.words}"))
    calm = Pacing(silence_s=0, glance_s=0, slow_s=1e9)
    pacing = replace(calm, tail_s=0) if fast else calm
    voice = replace(settings.voice, rate=max(settings.voice.rate, BRISK))
    settled = replace(settings, pacing=replace(pacing, tones=settings.pacing.tones), voice=voice)
    chosen = replace(wishes, listener=CuedEar(script, ear), keys=NoKeys())
    about = {MADE: DEMONSTRATION}
    wish = DrillWish()
    place = folder / DEMONSTRATIONS
    return drill_exercises(
        exercises, place, settled, chosen, wish, MARK, safety=safety, about=about
    )


def load_drill_demo() -> tuple[list[Exercise], dict[str, list[str]]]:
    """Return the exercises and the recordings that answer each item."""
    text = (files("callout") / "data" / "drill-demo.yaml").read_text(encoding="utf-8")
    told: dict[str, Any] = yaml.safe_load(text)
    lists = shipped_folder(CHECKLISTS)
    flight = load_flight(lists / told["flight"])
    plan = plan_for(load_checklist(lists / told["list"]), flight, default_tables())
    entries = {entry.item.id: entry for entry in entries_of([Page(flight.aircraft, plan)])}
    wanted: Sequence[Mapping[str, Any]] = told["exercises"]
    exercises = [_demo_exercise(entries[one["item"]], one) for one in wanted]
    return exercises, {one["item"]: one["replies"] for one in wanted}


def _demo_exercise(entry: Entry, wanted: Mapping[str, Any]) -> Exercise:
    """Return the exercise, with the state stated rightly or wrongly as wanted."""
    pick = Pick(entry, 0.5, 0.5, Weakness.NONE)
    mode = Mode(wanted["mode"])
    made = (exercises_of([pick], mode, str(n), default_tables())[0] for n in range(_SEEDS))
    false = wanted.get("state") == "wrong"
    return next(one for one in made if (one.then is not None) is false)
