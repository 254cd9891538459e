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
from callout.core.sentences import checklist, drill, set_up
from callout.core.sentences import telling as sentences
from callout.core.state.proving import Standing
from callout.terminal.common_telling import tell_common
from callout.terminal.drill_telling import told_drill
from callout.terminal.flight_telling import tell_flight
from callout.terminal.theme import VERDICT_WORD


def journal_lines(records: Sequence[c.JournalRecord]) -> Iterator[str]:
    """Yield one line per record: UTC time of day and what happened."""
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
        mark for mark, on in ((drill.TOO_FAST, record.fast), (" Slow.", record.slow)) if on
    )
    heard = wording.heard_line(record.utterance)
    shown = record.found if record.standing in (Standing.SET, Standing.UNKNOWN) else ""
    seen = f" Aircraft: {record.standing.value}, {shown}." if shown else ""
    word = VERDICT_WORD[record.verdict]
    return f"  {heard} {word} ({record.code}). {record.reason}{marks}{seen}"


@_tell_record.register
def _(record: r.Proved) -> str:
    return sentences.by_state_alone(record.found)


@_tell_record.register
def _(record: r.Remarked) -> str:
    return sentences.side_remark(wording.heard_line(record.utterance))


@_tell_record.register
def _(record: r.Commanded) -> str:
    rest = f", {record.rest}" if record.rest else ""
    return f"  {wording.heard_line(record.utterance)} Command: {record.command.value}{rest}."


@_tell_record.register
def _(record: r.Asked) -> str:
    return f"Question: {record.question.value}?"


@_tell_record.register
def _(record: r.Decided) -> str:
    heard = wording.heard_line(record.utterance) if record.utterance else sentences.NO_ANSWER
    return f"  {heard} Decided: {record.choice.value}."


@_tell_record.register
def _(record: r.Misunderstood) -> str:
    return sentences.not_answer_question(wording.heard_line(record.utterance))


@_tell_record.register
def _(record: r.Skipped) -> str:
    return f"{_ITEM} skipped: {record.reason.rstrip(' .') or 'no reason given'}."


@_tell_record.register
def _(record: r.Led) -> str:
    away = f"; {counted_noun(len(record.dropped), 'item')} fall away" if record.dropped else ""
    return sentences.command_moves_on(_ITEM, record.reply, record.to, away)


@_tell_record.register
def _(record: r.Deferred) -> str:
    return sentences.item_deferred(_ITEM, f": {record.note}" if record.note else "")


@_tell_record.register
def _(record: r.NotApplicable) -> str:
    return sentences.item_not_applicable(_ITEM, record.condition)


@_tell_record.register
def _(record: r.Reopened) -> str:
    return f"{_ITEM} again: {record.because}." if record.because else checklist.back_to(_ITEM)


@_tell_record.register
def _(record: r.Held) -> str:
    return checklist.holding_at(_ITEM) if record.item_id else "Holding."


@_tell_record.register
def _(record: r.Continued) -> str:
    return "Continued."


@_tell_record.register
def _(record: r.Paced) -> str:
    return f"Pace {record.pace:g}."


@_tell_record.register
def _(record: r.Quieted) -> str:
    return "Quiet." if record.quiet else checklist.READING_ALOUD


@_tell_record.register
def _(record: r.Recited) -> str:
    early = f" (that is {record.early}, which comes later)" if record.early else ""
    said = wording.heard_line(record.utterance)
    return sentences.recited(said, VERDICT_WORD[record.verdict], record.item_id, early)


@_tell_record.register
def _(record: r.Prompted) -> str:
    return sentences.was_prompted(_ITEM)


@_tell_record.register
def _(record: r.PanelDone) -> str:
    told = ", told" if record.told else ""
    return sentences.panel_done(record.panel, record.seconds, told)


@_tell_record.register
def _(record: r.PanelNamed) -> str:
    return f"  {wording.heard_line(record.utterance)} {VERDICT_WORD[record.verdict]}: panel."


@_tell_record.register
def _(record: r.ControlRecalled) -> str:
    what = f"{record.panel}, {record.control}"
    if record.utterance is None:
        return sentences.prompted_for(what)
    return f"  {wording.heard_line(record.utterance)} {VERDICT_WORD[record.verdict]}: {what}."


@_tell_record.register
def _(record: r.ControlMoved) -> str:
    return f"  {record.panel or 'Controls'}: {record.label}, {record.was} to {record.now}."


@_tell_record.register
def _(record: r.FlowSeen) -> str:
    told = (("missed", record.missed), ("not in the flow", record.mistaken))
    parts = [f"{what}: {', '.join(names)}" for what, names in told if names]
    return sentences.flow_seen("; ".join(parts) or "nothing missed")


@_tell_record.register
def _(record: r.FlowWorked) -> str:
    return sentences.flow_done(record.mode.value, ", stage passed" if record.passed else "")


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
    return set_up.asked_anyway(", ".join(record.item_ids))


@_tell_record.register
def _(record: r.Replanned) -> str:
    return sentences.set_up_changed(f": {record.words}" if record.words else "")


@_tell_record.register
def _(record: r.Ended) -> str:
    return record.call or f"{record.ending.value.capitalize()}."
