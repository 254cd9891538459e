"""``callout demo --panel``: a list checked against a simulated aircraft that a person operates."""

from __future__ import annotations

import contextlib
import json
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from callout.app.running.list_session import run_session
from callout.app.running.simulated import load_aircraft, shapes_of
from callout.app.running.single_list import load_setting
from callout.app.running.wishes import GlanceWish, Wishes
from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.settings import Settings
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.summary import Summary
from callout.journal.demonstrations import DEMONSTRATION, DEMONSTRATIONS, MADE
from callout.own_process import end_process, module_command, start_process
from callout.state.feed import Feed
from callout.state.listening import LOOPBACK, StatePort

USUAL = "sandling-two/before-start"


class Handled:
    """A simulated aircraft in its own process, and the orders given to it."""

    def __init__(self, aircraft: str, port: int) -> None:
        command = (*module_command("callout"), "state", "aircraft", aircraft)
        self._process = start_process((*command, "--state-port", str(port), "--to-the-end"))

    def order(self, words: str) -> None:
        """Give one order; an aircraft whose process has ended takes none."""
        pipe = self._process.stdin
        with contextlib.suppress(OSError, ValueError):
            if pipe is not None:
                pipe.write(f"{words}\n")
                pipe.flush()

    def close(self) -> None:
        """End the process."""
        end_process(self._process)


@contextmanager
def panel_of(aircraft: str, wishes: Wishes, wish: GlanceWish) -> Iterator[Wishes]:
    """Run a simulated aircraft with its panel for the duration of a session."""
    from callout.app.running.glancing import glance_page
    from callout.web.panel import PanelHub

    loaded = load_aircraft(shipped_folder(CHECKLISTS) / aircraft)
    port = StatePort(Feed(loaded.declared, time.monotonic), LOOPBACK, 0)
    port.name = "the simulated aircraft"
    port.open()
    handled = Handled(aircraft, port.port)
    try:
        title = load_flight(shipped_folder(CHECKLISTS) / aircraft / FLIGHT_FILE).aircraft
        shapes: list[Any] = json.loads(shapes_of(loaded))
        hub = PanelHub(title, shapes, lambda name, to: handled.order(f"{name} {to}"))
        port.feed.on_board = hub.put
        shared = replace(wishes, glance=replace(wish, panel=hub), state_source=port)
        with tempfile.TemporaryDirectory() as own, glance_page(shared, Path(own)) as shown:
            yield shown
    finally:
        port.close()
        handled.close()


def run_panel_demo(
    name: str,
    folder: Path,
    settings: Settings,
    wishes: Wishes,
    *,
    safety: str,
    tell: Callable[[str], None],
) -> Summary:
    """Run the list ``name`` ("sandling-two/before-start") against the panel."""
    aircraft, _, _ = name.partition("/")
    source = shipped_folder(CHECKLISTS) / f"{name}.yaml"
    place = folder / DEMONSTRATIONS
    setting, about = load_setting(str(source), None, (), place, settings, tell=tell)
    plan = setting.plan({}, default_tables())
    wish = wishes.glance or GlanceWish()
    about = {**about, MADE: DEMONSTRATION}
    with panel_of(aircraft, wishes, wish) as shown:
        return run_session(
            plan, place, settings, shown, safety=safety, setting=setting, about=about
        )
