"""``callout demo --panel``: a list held against a simulated aircraft that a person handles."""

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
from callout.app.shared.shipped import CHECKLISTS, shipped
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.summary import Summary
from callout.journal.demonstrations import DEMONSTRATION, DEMONSTRATIONS, MADE
from callout.own_process import end, module_command, started
from callout.state.feed import Feed
from callout.state.listening import LOOPBACK, StatePort

USUAL = "sandling-two/before-start"


class Handled:
    """A simulated aircraft in a process of its own, and the orders given to it."""

    def __init__(self, aircraft: str, port: int) -> None:
        command = (*module_command("callout"), "state", "aircraft", aircraft)
        self._process = started((*command, "--state-port", str(port), "--to-the-end"))

    def order(self, words: str) -> None:
        """Give one order; an aircraft that has gone takes none."""
        pipe = self._process.stdin
        with contextlib.suppress(OSError, ValueError):
            if pipe is not None:
                pipe.write(f"{words}\n")
                pipe.flush()

    def close(self) -> None:
        """End it."""
        end(self._process)


@contextmanager
def panel_of(aircraft: str, wishes: Wishes, wish: GlanceWish) -> Iterator[Wishes]:
    """Run a simulated aircraft with its panel for as long as a session does."""
    from callout.app.running.glancing import glancing
    from callout.web.panel import PanelHub

    loaded = load_aircraft(shipped(CHECKLISTS) / aircraft)
    port = StatePort(Feed(loaded.declared, time.monotonic), LOOPBACK, 0)
    port.name = "the simulated aircraft"
    port.open()
    handled = Handled(aircraft, port.port)
    try:
        title = load_flight(shipped(CHECKLISTS) / aircraft / FLIGHT_FILE).aircraft
        shapes: list[Any] = json.loads(shapes_of(loaded))
        hub = PanelHub(title, shapes, lambda name, to: handled.order(f"{name} {to}"))
        port.feed.on_board = hub.put
        shared = replace(wishes, glance=replace(wish, panel=hub), state_source=port)
        with tempfile.TemporaryDirectory() as own, glancing(shared, Path(own)) as shown:
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
    source = shipped(CHECKLISTS) / f"{name}.yaml"
    place = folder / DEMONSTRATIONS
    setting, about = load_setting(str(source), None, (), place, settings, tell=tell)
    plan = setting.plan({}, default_tables())
    wish = wishes.glance or GlanceWish()
    about = {**about, MADE: DEMONSTRATION}
    with panel_of(aircraft, wishes, wish) as shown:
        return run_session(
            plan, place, settings, shown, safety=safety, setting=setting, about=about
        )
