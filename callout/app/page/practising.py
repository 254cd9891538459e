"""Drills on the page: what would be picked and why, and the drill itself."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from callout.app.page.page_session import Stage
from callout.app.page.request_fields import Answer, Handler, number_in, text_in
from callout.app.page.shelf import Shelf
from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.core.drill.exercise import Mode
from callout.core.model.counting import counted_noun
from callout.core.sentences import page as sentences

MIXED = "mixed"


class Practising:
    """Drills."""

    def __init__(self, shelf: Shelf, stage: Stage) -> None:
        self._shelf = shelf
        self._stage = stage

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {"drill-picks": self._picks, "drill": self._drill}

    def _picks(self, wish: Mapping[str, Any]) -> Answer:
        from callout.core.drill.shown_progress import drills_so_far
        from callout.core.drill.told_chance import told_chance

        found = self._found(wish)
        rows = [
            {
                "title": one.entry.plan.title,
                "challenge": one.entry.item.challenge,
                "critical": one.entry.item.critical,
                "due": one.due,
                "new": one.new,
                "chance": told_chance(one.risk).words,
            }
            for one in found["picks"]
        ]
        practice = found["practice"]
        notes = [] if practice.reviews else [sentences.NO_DRILL_HISTORY]
        progress = drills_so_far(practice.drills, practice.lots, practice.reviews)
        return {"rows": rows, "notes": notes, "progress": progress}

    def _drill(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.running.drilling import draw_lots, picks_for_drill, run_drill

        self._stage.must_be_free()
        found = self._found(wish)
        now, settings = datetime.now(UTC), load_settings()
        picks, drill_wish = found["picks"], found["wish"]
        lots = draw_lots(found["practice"], picks, now)
        waiting, told = sum(lot.waits for lot in lots), []
        if waiting:
            picks = picks_for_drill(found["practice"], found["pages"], now, drill_wish, lots)
            told.append(sentences.drawn_to_wait(counted_noun(waiting, "item")))
        about = {"crew": settings.crew_name} if settings.crew_name else {}
        wanted, journals = self._stage.wishes(wish), journal_folder(None, settings)
        self._stage.start(
            lambda: run_drill(
                picks,
                journals,
                settings,
                wanted,
                drill_wish,
                safety=SAFETY,
                about=about,
                lots=lots,
            ),
            news=told,
        )
        return {}

    def _found(self, wish: Mapping[str, Any]) -> dict[str, Any]:
        """Return the practice data and the picks; raises CalloutError if there are none."""
        from callout.app.running import practice as practising
        from callout.app.running.drilling import DrillWish, picks_for_drill
        from callout.app.shared.own_wordings import wordings_of

        settings = load_settings()
        journals, who = journal_folder(None, settings), settings.crew_name
        mode = text_in(wish, "mode")
        kinds = {kind.value: kind for kind in Mode}
        drill_wish = DrillWish(kinds.get(mode), float(number_in(wish, "minutes", 1, 120)))
        practice = practising.read_practice((journals,), who)
        practising.check_whose(practice, who)
        group = text_in(wish, "group")
        pages = practising.pages_in(self._shelf.find_group(group).folder) if group else ()
        pages = pages or practice.pages or practising.first_pages()
        pages = practising.with_own_wordings(pages, wordings_of(journals, who))
        picks = picks_for_drill(practice, pages, datetime.now(UTC), drill_wish)
        return {"practice": practice, "pages": pages, "wish": drill_wish, "picks": picks}
