"""The debrief of a session or flight from a collection: its rows say what was heard, how it was
judged and when; what happened in between is only in the journal.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.reports.debriefing import LATEST
from callout.app.reports.stored_facts import stored_facts
from callout.core.debrief.facts import Facts, FlightFact, SessionFact
from callout.core.debrief.session import Debrief, SessionReport, debrief_of
from callout.core.debrief.since_last_time import lead_lines
from callout.core.debrief.timeline import Timeline
from callout.core.debrief.usual_times import usual_times
from callout.core.sentences import collections
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_KEPT = (
    "SELECT session_id AS id, person, began FROM sessions UNION ALL "
    "SELECT flight, person, began FROM flights"
)
_NEWEST = "SELECT session_id, person FROM sessions ORDER BY began DESC, session_id DESC LIMIT 1"


def report_from(collection: Path, what: str) -> SessionReport:
    """Return the debrief of one session or flight; ``what``: its id, its beginning, or "latest".

    Raises CalloutError if there is none, or more than one.
    """
    from callout.store.engine import open_for_reading

    with open_for_reading(collection) as connection:
        name, person = _named(connection, what, collection)
        facts = stored_facts(connection, person)
        flight = next((f for f in facts.flights if f.flight == name), None)
        chosen = [s for s in facts.sessions if name in (s.session_id, flight and s.flight)]
        if not chosen:
            raise CalloutError(sentences.nothing_to_debrief(Path(name)), sentences.NO_LIST_CALLED)
        where = _where_journal_is(connection, name)
    lead = () if flight else tuple(lead_lines(facts, chosen[0]))
    debriefs = tuple(_debrief(session, facts) for session in chosen)
    note = collections.ONLY_IN_JOURNAL
    return SessionReport(debriefs, flight and _with_names(flight), (), lead, note, where)


def _named(connection: DuckDBPyConnection, what: str, collection: Path) -> tuple[str, str]:
    """Return the id and person of the session or flight."""
    if what == LATEST:
        found = connection.execute(_NEWEST).fetchall()
    else:
        begins = f"SELECT DISTINCT id, person FROM ({_KEPT}) WHERE starts_with(id, $1) ORDER BY id"
        found = connection.execute(begins, [what]).fetchall()
        found = [row for row in found if row[0] == what] or found
    if len(found) != 1:
        raise CalloutError(collections.not_one_session(len(found), what, collection),
                           collections.NAME_ONE_SESSION)  # fmt: skip
    [(name, person)] = found
    return str(name), str(person)


def _debrief(session: SessionFact, facts: Facts) -> Debrief:
    items = tuple(i for i in facts.items if i.session_id == session.session_id)
    nothing = Timeline((), (), 0.0)
    return debrief_of(session, items, nothing, usual_times(facts, session))


def _with_names(flight: FlightFact) -> FlightFact:
    """Return the flight; a collection counts the lists never called for, without their names."""
    return replace(
        flight, never_started=(collections.NAMED_IN_JOURNAL,) * len(flight.never_started)
    )


def _where_journal_is(connection: DuckDBPyConnection, name: str) -> str:
    """Return in a sentence where the journal is, or was; "" if unknown."""
    tables = connection.execute("SELECT table_name FROM information_schema.tables").fetchall()
    path = ""
    if ("journals",) in tables:  # Parquet files say nothing about files
        asked = "SELECT path FROM journals WHERE counts AND id = ? ORDER BY path LIMIT 1"
        path = "".join(*connection.execute(asked, [name]).fetchall())
    return collections.journal_is_at(path, there=Path(path).is_file()) if path else ""
