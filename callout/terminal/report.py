"""A session's summary in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.summary import Summary, SummaryLine
from callout.core.conversation.sound import SoundTally
from callout.core.conversation.summary import CommonSummary
from callout.core.drill.records import Over
from callout.core.drill.summary import DrillSummary
from callout.core.flight_run.summary import SectorSummary
from callout.core.sentences import session as sentences
from callout.core.sentences import telling


def report_lines(summary: CommonSummary) -> Iterator[str]:
    """Yield the summary of a list, a flight or a drill, one fact per line."""
    match summary:
        case Summary():
            return _list_lines(summary)
        case SectorSummary():
            return _flight_lines(summary)
        case DrillSummary():
            return _drill_lines(summary)
        case _:
            raise TypeError(f"no report for {type(summary).__name__}")


def _flight_lines(summary: SectorSummary) -> Iterator[str]:
    yield f"{summary.title}: {'ended.' if summary.ended else 'interrupted.'}"
    for run in summary.runs:
        yield f"  {run.title}: {run.how}"
    if summary.not_completed:
        yield f"  Not completed: {len(summary.not_completed)}"
        yield from (f"    {title}" for title in summary.not_completed)
    yield from _sound_lines(summary.sound)
    resumed = f" Resumed: {summary.resumes}." if summary.resumes else ""
    yield f"  Time: {_duration_words(summary.minutes)}.{resumed}"
    if not summary.ended:
        yield sentences.NOTHING_LOST_RESUME


def _drill_lines(summary: DrillSummary) -> Iterator[str]:
    endings = {Over.DONE: "all done", Over.TIME: "time was up", Over.STOPPED: "stopped"}
    ending = endings[summary.over] if summary.over else "interrupted; your answers so far count"
    yield f"Drill: {ending}."
    graded = summary.settled - len(summary.left)
    yield f"  Right first time: {summary.first_time} of {graded}"
    yield from _group_lines("To review", summary.again)
    yield from _group_lines("Right, but unsure", summary.doubtful)
    yield from _group_lines("Not counted", summary.left)
    yield from _sound_lines(summary.sound)
    new = f" New: {summary.new}." if summary.new else ""
    time = _duration_words(summary.minutes)
    yield telling.of_picked(summary.settled, summary.picked, new, time)


def _list_lines(summary: Summary) -> Iterator[str]:
    yield f"{summary.title}: {_ending_words(summary)}"
    yield f"  Answered right first time: {summary.first_time} of {summary.total}"
    if summary.flow_seconds is not None:
        yield f"  Flow: {summary.flow_seconds:.0f} s"
        yield from (f"    {line.challenge}: {line.detail}" for line in summary.flow)
    if summary.flow_stage:
        yield f"  {summary.flow_stage}"
    if summary.lacking:
        yield f"  Not in the flow, because this simulator lacks: {', '.join(summary.lacking)}"
    timed = "" if summary.memory_seconds is None else f" in {summary.memory_seconds:.0f} s"
    yield from _group_lines(f"From memory{timed}", summary.memory)
    yield from _group_lines("Asked again before right", summary.asked_again)
    yield from _group_lines("Mismatches caught", summary.mismatches, summary.mismatch_count)
    yield from _group_lines("Said, not set", summary.not_set)
    yield from _group_lines("By speech alone", summary.by_speech)
    yield from _group_lines("Unclear replies", summary.unclear)
    yield from _group_lines("Skipped", summary.skipped)
    yield from _group_lines("Deferred", summary.deferred)
    yield from _group_lines("Left open" if summary.ending else "Still to do", summary.left_open)
    yield from _group_lines("Not applicable", summary.not_applicable)
    yield from _group_lines("Too fast to have looked", summary.fast)
    yield from _group_lines("Slow", summary.slow)
    yield from _sound_lines(summary.sound)
    yield f"  {_remaining_line(summary)}"
    if summary.ending is None:
        yield sentences.NOTHING_LOST_RESUME


def _sound_lines(sound: SoundTally) -> Iterator[str]:
    if sound.words:
        yield f"  Sound: {sound.words}."


def _ending_words(summary: Summary) -> str:
    if summary.ending is Ending.COMPLETED:
        return summary.call
    if summary.ending is Ending.STOPPED:
        return "stopped, not complete."
    return "interrupted, not complete."


def _group_lines(
    name: str, lines: Sequence[SummaryLine], count: int | None = None
) -> Iterator[str]:
    if not lines:
        return
    yield f"  {name}: {len(lines) if count is None else count}"
    for line in lines:
        yield f"    {line.challenge}{f': {line.detail}' if line.detail else ''}"


def _remaining_line(summary: Summary) -> str:
    counts = [("Side remarks", summary.remarks), ("holds", summary.holds)]
    counts += [("challenged out of order", summary.passed_over)] if summary.passed_over else []
    counts += [("resumed", summary.resumes)] if summary.resumes else []
    counts += [("equipment failures", summary.failures)] if summary.failures else []
    facts = ", ".join(f"{name}: {count}" for name, count in counts)
    return f"{facts}. Time: {_duration_words(summary.minutes)}."


def _duration_words(minutes: float) -> str:
    seconds = round(minutes * 60)
    return f"{seconds} s" if seconds < 60 else f"{seconds // 60} min {seconds % 60:02} s"
