"""Journal records as sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import singledispatch

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.causes import Why
from callout.core.conversation import records as c
from callout.core.drill.records import DrillBegan
from callout.core.flight_run.records import SectorRecord
from callout.core.model.counting import counted_noun
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.planning.plan import Plan
from callout.core.planning.stated_quantity import told_given
from callout.core.state.proving import Standing
from callout.terminal.common_telling import tell_common
from callout.terminal.drill_telling import told_drill
from callout.terminal.flight_telling import tell_flight
from callout.terminal.theme import VERDICT_WORD


def journal_lines(records: Sequence[c.JournalRecord]) -> Iterator[str]:
    """Yield one line a record: UTC time of day and what happened."""
    if records and isinstance(records[0], DrillBegan):
        for record, sentence in zip(records, told_drill(records), strict=True):
            yield f"{record.utc:%H:%M:%S}  {sentence}"
        return
    plan: Plan | None = None
    for record in records:
        plan = record.plan if isinstance(record, r.Began | r.Replanned) else plan
        sentence = tell_common(record) or _tell_own(record)
        yield f"{record.utc:%H:%M:%S}  {_with_names(sentence, record, plan)}"


def _with_names(sentence: str, record: c.JournalRecord, plan: Plan | None) -> str:
    item_id = str(getattr(record, "item_id", ""))
    index = plan.index(item_id) if plan and item_id else None
    name = plan.items[index].challenge if plan and index is not None else item_id
    return sentence.replace("\N{OBJECT REPLACEMENT CHARACTER}", name)


def _tell_own(record: c.JournalRecord) -> str:
    return tell_flight(record) if isinstance(record, SectorRecord) else _tell_record(record)


_ITEM = "\N{OBJECT REPLACEMENT CHARACTER}"


@singledispatch
def _tell_record(record: c.JournalRecord) -> str:
    return type(record).__name__


@_tell_record.register
def _(record: r.Began) -> str:
    return f"{record.plan.title} began."


@_tell_record.register
def _(record: r.Challenged) -> str:
    reason = "" if record.why is Why.NEXT else f" ({record.why.value})"
    return f"{_ITEM}?{reason}"


@_tell_record.register
def _(record: r.Replied) -> str:
    marks = "".join(
        mark
        for mark, on in ((" Too fast to have looked.", record.fast), (" Slow.", record.slow))
        if on
    )
    heard = wording.heard_line(record.utterance)
    shown = record.found if record.standing in (Standing.SET, Standing.UNKNOWN) else ""
    seen = f" Aircraft: {record.standing.value}, {shown}." if shown else ""
    word = VERDICT_WORD[record.verdict]
    return f"  {heard} {word} ({record.code}). {record.reason}{marks}{seen}"


@_tell_record.register
def _(record: r.Proved) -> str:
    return f"  By state alone: {record.found}."


@_tell_record.register
def _(record: r.Remarked) -> str:
    return f"  {wording.heard_line(record.utterance)} Side remark."


@_tell_record.register
def _(record: r.Commanded) -> str:
    rest = f", {record.rest}" if record.rest else ""
    return f"  {wording.heard_line(record.utterance)} Command: {record.command.value}{rest}."


@_tell_record.register
def _(record: r.Asked) -> str:
    return f"Question: {record.question.value}?"


@_tell_record.register
def _(record: r.Decided) -> str:
    heard = wording.heard_line(record.utterance) if record.utterance else "No answer."
    return f"  {heard} Decided: {record.choice.value}."


@_tell_record.register
def _(record: r.Misunderstood) -> str:
    return f"  {wording.heard_line(record.utterance)} Not an answer to the question."


@_tell_record.register
def _(record: r.Skipped) -> str:
    return f"{_ITEM} skipped: {record.reason.rstrip(' .') or 'no reason given'}."


@_tell_record.register
def _(record: r.Led) -> str:
    away = f"; {counted_noun(len(record.dropped), 'item')} fall away" if record.dropped else ""
    return f"{_ITEM}: {record.reply}; continues at {record.to}{away}."


@_tell_record.register
def _(record: r.Deferred) -> str:
    return f"{_ITEM} deferred{f': {record.note}' if record.note else ''}."


@_tell_record.register
def _(record: r.NotApplicable) -> str:
    return f"{_ITEM} not applicable: {record.condition}."


@_tell_record.register
def _(record: r.Reopened) -> str:
    return f"{_ITEM} again: {record.because}." if record.because else f"Back to {_ITEM}."


@_tell_record.register
def _(record: r.Held) -> str:
    return f"Holding at {_ITEM}." if record.item_id else "Holding."


@_tell_record.register
def _(record: r.Continued) -> str:
    return "Continued."


@_tell_record.register
def _(record: r.Paced) -> str:
    return f"Pace {record.pace:g}."


@_tell_record.register
def _(record: r.Quieted) -> str:
    return "Quiet." if record.quiet else "Reading aloud."


@_tell_record.register
def _(record: r.Recited) -> str:
    early = f" (that is {record.early}, which comes later)" if record.early else ""
    said = wording.heard_line(record.utterance)
    return f"  {said} {VERDICT_WORD[record.verdict]}: from memory, {record.item_id}{early}."


@_tell_record.register
def _(record: r.Prompted) -> str:
    return f"{_ITEM} had to be prompted."


@_tell_record.register
def _(record: r.PanelDone) -> str:
    told = ", told" if record.told else ""
    return f"{record.panel} done in {record.seconds:.1f} s{told}."


@_tell_record.register
def _(record: r.PanelNamed) -> str:
    return f"  {wording.heard_line(record.utterance)} {VERDICT_WORD[record.verdict]}: panel."


@_tell_record.register
def _(record: r.ControlRecalled) -> str:
    what = f"{record.panel}, {record.control}"
    if record.utterance is None:
        return f"  {what} had to be prompted."
    return f"  {wording.heard_line(record.utterance)} {VERDICT_WORD[record.verdict]}: {what}."


@_tell_record.register
def _(record: r.ControlMoved) -> str:
    return f"  {record.panel or 'Controls'}: {record.label}, {record.was} to {record.now}."


@_tell_record.register
def _(record: r.FlowSeen) -> str:
    told = (("missed", record.missed), ("not in the flow", record.mistaken))
    parts = [f"{what}: {', '.join(names)}" for what, names in told if names]
    return f"Flow seen; {'; '.join(parts) or 'nothing missed'}."


@_tell_record.register
def _(record: r.FlowWorked) -> str:
    return f"Flow done ({record.mode.value}){', stage passed' if record.passed else ''}."


@_tell_record.register
def _(record: r.Stated) -> str:
    states = {True: "yes", False: "no", None: "not known"}
    return f"Set-up: {record.fact.replace('_', ' ')}: {states[record.state]}."


@_tell_record.register
def _(record: r.QuantityStated) -> str:
    return f"Stated: {told_given(record.given, EMPTY_FLIGHT)}"


@_tell_record.register
def _(record: r.QuantityHeard) -> str:
    given = told_given(record.given, EMPTY_FLIGHT)
    return f"  {wording.heard_line(record.utterance)} Read back: {given}"


@_tell_record.register
def _(record: r.WantedAgain) -> str:
    return f"Asked again, although already done: {', '.join(record.item_ids)}."


@_tell_record.register
def _(record: r.Replanned) -> str:
    return f"Set-up changed{f': {record.words}' if record.words else ''}."


@_tell_record.register
def _(record: r.Ended) -> str:
    return record.call or f"{record.ending.value.capitalize()}."
