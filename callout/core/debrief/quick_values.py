"""A list's records straight to the values of its rows, without the facts in between.

Nearly all journals consist of a dozen kinds of records, and what those change in a row is little:
a fifth of the time of the replay. Where a journal holds any other record, nothing comes out, and
it goes the longer way (``gather.session_rows``), which gives the same values for these.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.column_kinds import month_of, naive_utc
from callout.core.debrief.columns import Rows, Values
from callout.core.debrief.deviations import lies_in_aircraft
from callout.core.debrief.quick_list import QuickItem, QuickList, quick_list
from callout.core.debrief.replies import finite_number


def quick_values(
    records: Sequence[JournalRecord],
    about: Mapping[str, str],
    who: str,
    school: str = "",
    *,
    early: bool = False,
) -> Rows | None:
    """Return the rows of a list's journal; None: take the longer way.

    about: what its flight and itself say of it. who: stands for a person who is not named there.
    early: it was called for before a list that comes first.
    """
    began, seen = records[0], quick_list(records)
    if seen is None or not isinstance(began, r.Began):
        return None
    times = (naive_utc(began.utc), month_of(began.utc), naive_utc(records[-1].utc))
    names = (school, about.get("crew", "") or who)
    kept = (about.get(name, "") for name in ("sector", "drill", "hearing"))
    plan = seen.known.plan
    session = (
        began.session_id, *times, *names, about.get("aircraft", ""), about.get("operator", ""),
        plan.list_id, plan.title, seen.known.phase, plan.method.value, *kept,
        seen.ending.value if seen.ending else None,
        max(0.0, finite_number(seen.at - began.at) or 0.0) / 60, *_sums(seen), seen.passed_over,
        seen.holds, round(seen.hold_seconds, 3), seen.resumes, finite_number(seen.flow_seconds),
        early,
    )  # fmt: skip
    pairs = list(zip(seen.known.items, seen.items, strict=True))
    complete = seen.ending is Ending.COMPLETED
    return {
        "sessions": [session],
        "items": [(*fixed, *_item_values(item, complete=complete)) for fixed, item in pairs],
        "replies": [
            (fixed[0], number, *_reply_values(reply))
            for fixed, item in pairs
            for number, reply in enumerate(item.heard, start=1)
        ],
    }


def _sums(seen: QuickList) -> Values:
    items = [item for item in seen.items if item.outcome is not ItemOutcome.NOT_APPLICABLE]
    return (
        len(items),
        sum([item.first_time for item in items]),
        sum([item.outcome is ItemOutcome.SKIPPED for item in items]),
        sum([item.deferred for item in items]),
        sum([item.mismatches for item in items]),
        sum([item.unclear for item in items]),
        sum([item.fast for item in items]),
        sum([item.slow for item in items]),
    )


def _item_values(item: QuickItem, *, complete: bool) -> Values:
    """complete: the list came to its end, so that what it left open was omitted."""
    outcome, heard = item.outcome, item.heard
    skipped = outcome is ItemOutcome.SKIPPED
    omitted = complete and outcome is ItemOutcome.LEFT_OPEN
    return (
        None if outcome is None else outcome.value,
        outcome is not ItemOutcome.NOT_APPLICABLE and (item.asked > 0 or skipped),
        item.asked, len(heard), item.mismatches, item.unclear, item.deferred, skipped,
        item.reason if skipped else "", item.passed, item.slow, item.first_time,
        finite_number(heard[0].seconds) if heard else None,
        heard[0].utterance.source.value if heard else "",
        round(item.seconds, 3), item.reply,
        omitted or (skipped and not lies_in_aircraft(item.reason)),
        item.mismatches > 0, item.not_set > 0, item.fast, item.early,
    )  # fmt: skip


def _reply_values(reply: r.Replied) -> Values:
    said = reply.utterance
    return (
        finite_number(reply.at) or 0.0, said.text, said.transcript, said.sure,
        reply.verdict.value, reply.code, reply.reason, finite_number(reply.seconds),
        said.source.value, said.seat.value if said.seat else "",
    )  # fmt: skip
