"""Looking back on the page: stored sessions, a debrief of one, trends of many."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Any

from callout.app.page.request_fields import Answer, Handler, text_in
from callout.app.shared.own_wordings import Did, Wordings, wordings_of
from callout.app.shared.safety import SAFETY
from callout.app.shared.settings import journal_folder, load_settings
from callout.core.sentences import page as sentences
from callout.core.sentences.page_advice import for_the_page
from callout.errors import CalloutError, JournalDamaged
from callout.web.documents import Documents

MOST_SHOWN = 60


class LookingBack:
    """Debriefs and trends."""

    def __init__(self, documents: Documents) -> None:
        self._documents = documents

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {
            "sessions": self._sessions,
            "debrief": self._debrief,
            "trends": self._trends,
            "accept": self._accept,
            "decline": self._decline,
        }

    def _sessions(self, wish: Mapping[str, Any]) -> Answer:
        from callout.journal.summary import newest_first

        journals = journal_folder(None, load_settings())
        rows = list(islice(_session_rows(newest_first(journals)), MOST_SHOWN))
        return {"sessions": rows}

    def _debrief(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.reports.debriefing import report_on
        from callout.core.debrief.spoken import spoken_lines

        settings = load_settings()
        name, journals = _session_name(wish), journal_folder(None, settings)
        report = report_on(name, journals)
        own = wordings_of(journals, settings.crew_name)
        page, why = self._whole_debrief(report)
        return {
            "lines": [for_the_page(line) for line in spoken_lines(report)],
            "problems": [*report.problems, *why],
            "offers": _offer_rows(name, journals, own),
            "page": page,
        }

    def _whole_debrief(self, report: Any) -> tuple[str, list[str]]:
        """Return where the full report can be seen; without its libraries, why it cannot."""
        from callout.app.reports.moment_sounds import sound_address
        from callout.reporting.page import debrief_page

        try:
            return self._documents.keep(
                for_the_page(debrief_page(report, SAFETY, sound_address))
            ), []
        except CalloutError as error:
            return "", [f"{error.message} {error.hint}".strip()]

    def _trends(self, wish: Mapping[str, Any]) -> Answer:
        from callout.app.reports.drill_effect import with_drills
        from callout.app.reports.journals import read_folder
        from callout.app.reports.trending import trends_of
        from callout.core.debrief.rates import SessionChoice
        from callout.reporting.trend_page import trends_page

        folder = journal_folder(None, load_settings())
        known = read_folder(folder)
        if not known.facts.sessions:
            return {"problems": [*known.problems, sentences.NO_SESSIONS], "page": ""}
        trends = trends_of(known, SessionChoice(None, "", "", "", None, None), ())
        trends = with_drills(trends, folder)
        return {
            "problems": list(known.problems),
            "page": self._documents.keep(for_the_page(trends_page(trends, SAFETY))),
        }

    def _accept(self, wish: Mapping[str, Any]) -> Answer:
        return self._decide(wish, taken=True)

    def _decline(self, wish: Mapping[str, Any]) -> Answer:
        return self._decide(wish, taken=False)

    def _decide(self, wish: Mapping[str, Any], *, taken: bool) -> Answer:
        """Accept a wording from now on, or never offer it again; a critical one is asked about
        twice.
        """
        from callout.app.reports.wording_offers import offers_in

        settings = load_settings()
        name, journals = _session_name(wish), journal_folder(None, settings)
        own = wordings_of(journals, settings.crew_name)
        item, words = text_in(wish, "item"), text_in(wish, "words")
        for one in offers_in(name, journals, own):
            if (one.place.item_id, one.place.words) == (item, words):
                now = datetime.now().astimezone()
                critical = one.offer.critical
                if not taken:
                    own.note(Did.DECLINED, one.place, now, one.session)
                elif critical and wish.get("twice") is not True:
                    return {"ask": sentences.critical_wording(one.offer.challenge, words)}
                else:
                    own.accept(one.place, now, confirmed=critical, session=one.session)
                return {"offers": _offer_rows(name, journals, own)}
        raise CalloutError(sentences.LIST_GONE)


def _session_name(wish: Mapping[str, Any]) -> str:
    """Return the id of a session; paths are refused."""
    name = text_in(wish, "session")
    if not name or Path(name).name != name or "\\" in name or name.endswith(".jsonl"):
        raise CalloutError(sentences.NO_SUCH_SESSION, sentences.CHOOSE_ANOTHER)
    return name


def _session_rows(found: Iterator[Any]) -> Iterator[Answer]:
    from callout.journal.jsonl_writer import in_use
    from callout.journal.summary import DrillInfo, FlightInfo

    for info in found:
        if isinstance(info, JournalDamaged):
            yield {"id": "", "title": info.message, "when": "", "kind": "damaged", "how": ""}
            continue
        kind = {FlightInfo: "flight", DrillInfo: "drill"}.get(type(info), "list")
        yield {
            "id": info.path.stem,
            "title": info.title,
            "when": info.began.isoformat(),
            "kind": kind,
            "how": info.ending or ("running" if in_use(info.path) else "unfinished"),
        }


def _offer_rows(name: str, journals: Path, own: Wordings) -> list[Answer]:
    from callout.app.reports.wording_offers import offers_in

    try:
        offers = offers_in(name, journals, own)
    except CalloutError:
        return []
    return [
        {
            "title": one.title,
            "challenge": one.offer.challenge,
            "item": one.place.item_id,
            "words": one.place.words,
            "right": one.offer.right,
            "sure": one.offer.sure,
            "critical": one.offer.critical,
        }
        for one in offers
    ]
