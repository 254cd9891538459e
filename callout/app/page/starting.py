"""Choosing on the page: listing lists, starting one, and continuing an interrupted one."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from callout.app.page.page_session import Stage
from callout.app.page.request_fields import Answer, Handler, text_in
from callout.app.page.shelf import Shelf, ShelfGroup, ShelfList
from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import Settings, journal_folder, load_settings
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.planning.needed_values import needed_values, open_values
from callout.core.sentences import page as sentences
from callout.errors import CalloutError


class Starting:
    """Lists, and the sessions that run them."""

    def __init__(self, shelf: Shelf, stage: Stage) -> None:
        self._shelf = shelf
        self._stage = stage

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {
            "lists": self._lists,
            "run": self.begin,
            "fly": self._fly,
            "unfinished": self._unfinished,
            "go-on": self._go_on,
            "break-off": self._break_off,
            "dismiss": self._dismiss,
        }

    def _lists(self, wish: Mapping[str, Any]) -> Answer:
        settings = load_settings()
        journals = journal_folder(None, settings)
        new = not any(journals.glob("*.jsonl"))
        groups = [_group_row(group) for group in self._shelf.groups()]
        return {"groups": groups, "new": new, "safety": SAFETY, "folder": str(self._shelf.own)}

    def begin(self, wish: Mapping[str, Any]) -> Answer:
        """Start a list. called: the words that called for it."""
        from callout.app.running.list_session import run_session
        from callout.app.running.single_list import load_setting
        from callout.app.running.state_source import open_state_source
        from callout.app.running.wishes import with_wishes
        from callout.app.shared.tables import default_tables

        self._stage.must_be_free()
        _, chosen = self._shelf.find_list(text_in(wish, "list"))
        wanted, journals, settings = self._wanted(wish)
        told: list[str] = []
        setting, about = load_setting(
            str(chosen.path), None, (), journals, with_wishes(settings, wanted), tell=told.append
        )
        called = " ".join(text_in(wish, "called").split()) if wish.get("called") else ""
        about = {**about, "called": called} if called else about
        plan = setting.plan({}, default_tables())

        def run() -> object:
            with open_state_source(wanted, setting.flight.state) as shown:
                return run_session(
                    plan, journals, settings, shown, safety=SAFETY, setting=setting, about=about
                )

        self._stage.start(run, news=told)
        return {}

    def _fly(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.running.flight_folder import load_folder, with_own_wordings
        from callout.app.running.flying import FlightWishes, run_flight
        from callout.app.running.state_source import open_state_source
        from callout.app.shared.own_wordings import wordings_of

        self._stage.must_be_free()
        group = self._shelf.find_group(text_in(wish, "group"))
        wanted, journals, settings = self._wanted(wish)
        own = wordings_of(journals, settings.crew_name)
        loaded, told = with_own_wordings(load_folder(group.folder, None, ()), own)
        received = " ".join(text_in(wish, "received").split()) if "received" in wish else ""
        lot = secrets.randbelow(1_000_000) if wish.get("spring") is True else None
        begin = FlightWishes("", received, lot)
        about = {"folder": str(group.folder.resolve())}

        def run() -> object:
            with open_state_source(wanted, loaded.flight.state) as shown:
                return run_flight(
                    loaded, journals, settings, shown, begin, safety=SAFETY, about=about
                )

        self._stage.start(run, news=list(told))
        return {}

    def _unfinished(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.running.unfinished import latest_unfinished

        if self._stage.busy:
            return {"title": ""}
        journals = journal_folder(None, load_settings())
        try:
            found = latest_unfinished(journals, lambda problem: None)
        except CalloutError:
            return {"title": ""}
        began = found.records[0]
        plan = getattr(began, "plan", None)
        title = getattr(began, "title", "") or (plan.title if plan else "")
        when = found.records[-1].utc.isoformat()
        return {"title": title, "when": when, "journal": found.path.stem}

    def _go_on(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.running.resuming import go_on
        from callout.app.running.unfinished import latest_unfinished

        self._stage.must_be_free()
        wanted, journals, settings = self._wanted(wish)
        found = latest_unfinished(journals, lambda problem: None)
        if found.path.stem != text_in(wish, "journal"):
            raise CalloutError(sentences.LIST_GONE, sentences.CHOOSE_ANOTHER)
        self._stage.start(lambda: go_on(found, journals, settings, wanted))
        return {}

    def _break_off(self, wish: Mapping[str, Any]) -> Answer:
        sink = self._stage.hub.sink
        if sink is None:
            raise CalloutError(sentences.NO_SESSION_RUNS)
        sink.on_interrupt()
        return {}

    def _dismiss(self, wish: Mapping[str, Any]) -> Answer:
        self._stage.dismiss()
        return {}

    def _wanted(self, wish: Mapping[str, Any]) -> tuple[Any, Path, Settings]:
        settings = load_settings()
        wanted = self._stage.wishes(wish)
        if wanted.state is not None:
            hub = self._stage.hub
            wanted = replace(
                wanted, state=replace(wanted.state, tell=lambda line: hub.put((line,)))
            )
        return wanted, journal_folder(None, settings), settings


def _group_row(group: ShelfGroup) -> Answer:
    return {
        "key": group.key,
        "title": group.title,
        "own": group.own,
        "flies": group.flies,
        "data": group.data.key if group.data else "",
        "bridge": bool(group.flight and group.flight.state),
        "values": group.own and _needs_values(group),
        "lists": [_list_row(one, group) for one in group.lists],
    }


def _needs_values(group: ShelfGroup) -> bool:
    lists = [one.checklist for one in group.lists if one.checklist]
    return group.data is not None or needed_values(lists, group.flight or EMPTY_FLIGHT).anything


def _list_row(one: ShelfList, group: ShelfGroup) -> Answer:
    found = one.checklist
    told = found if found and group.own else None
    return {
        "key": one.key,
        "title": one.title,
        "phase": found.phase.value if found else "",
        "items": len(found.items) if found else 0,
        "open_values": len(open_values(told, group.flight or EMPTY_FLIGHT)) if told else 0,
        "problem": one.problem,
    }
