"""What a person can call out between lists: a list, a point in the flight, a fact, a control."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.state import Progress
from callout.core.conversation import events as ev
from callout.core.flight_run.due import lists_on_call, normal_lists
from callout.core.flight_run.lapsing import complete_now
from callout.core.flight_run.springing import memory_list
from callout.core.flight_run.state import SectorContext, SectorProgress, SectorState
from callout.core.model.checklist import Checklist
from callout.core.model.commands import CommandTable, plain_words, without_fillers
from callout.core.model.shapes import closest_choice, did_you_mean
from callout.core.model.utterance import ReplySource, Utterance, spoken_utterance, typed_utterance
from callout.core.planning.stated_quantity import Given, find_given
from callout.core.sentences import flight as sentences
from callout.core.understanding.fact_phrases import FactStatement, find_statement


@dataclass(frozen=True, slots=True)
class ListCall:
    """A list is called for by name, trigger or number."""

    checklist: Checklist


@dataclass(frozen=True, slots=True)
class MomentCall:
    """A moment of flight is called out."""

    moment: str


@dataclass(frozen=True, slots=True)
class NextCall:
    """The person calls for whatever list is due."""


@dataclass(frozen=True, slots=True)
class DueCall:
    """The person asks what is due."""


@dataclass(frozen=True, slots=True)
class MemoryCall:
    """The person asks for memory items of any list."""


@dataclass(frozen=True, slots=True)
class EndCall:
    """The flight is over."""


MOST_WORDS = 8
"""Words; a call is short, and a longer sentence that ends like one is conversation."""
_CHECKLIST = "checklist"

Call = ListCall | MomentCall | NextCall | DueCall | MemoryCall | EndCall | FactStatement

_DESK: dict[str, Call] = {
    "next-list": NextCall(),
    "what-is-due": DueCall(),
    "memory-items": MemoryCall(),
    "end-flight": EndCall(),
}


def find_call(words: str, context: SectorContext, progress: SectorProgress) -> Call | None:
    """Return the call in ``words``, or None; whole words only, no guessing."""
    table = context.session.commands
    said = words_key(words, table)
    if not said:
        return None
    for name, call in _DESK.items():
        if any(said == words_key(form, table) for form in table.desk.get(name, ())):
            return call
    if checklist := _called_list(said, context, progress):
        return ListCall(checklist)
    for checklist in context.lists:
        for moment in checklist.due:
            if said == words_key(moment, table):
                return MomentCall(moment)
    return find_statement(words, context.flight, table.fillers)


def agrees_to_due(words: str, context: SectorContext) -> bool:
    """Say whether ``words`` accept the list that the tool says is due."""
    table = context.session.commands
    said = words_key(words, table)
    return any(said == words_key(form, table) for form in table.desk.get("agreed", ()))


def find_number(words: str, context: SectorContext, progress: SectorProgress) -> ListCall | None:
    """Return the list whose number was typed, or None."""
    lists = normal_lists(context, progress)
    if words.strip().isdecimal() and 1 <= int(words) <= len(lists):
        return ListCall(lists[int(words) - 1])
    return None


def list_phrases(checklist: Checklist) -> tuple[str, ...]:
    """Return every way to call for a list."""
    title = checklist.title
    named = title if title.casefold().endswith("checklist") else f"{title} checklist"
    return tuple(dict.fromkeys((*checklist.triggers, named, title)))


def listened_phrases(checklist: Checklist) -> tuple[str, ...]:
    """Return the calls for a list to listen for; a bare title is left out, as it may be
    conversation.
    """
    return list_phrases(checklist)[:-1] or list_phrases(checklist)


def desk_groups(context: SectorContext) -> tuple[tuple[str, ...], ...]:
    """Return what to listen for between lists, phrases of the same meaning together."""
    found: list[tuple[str, ...]] = []
    for checklist in context.lists:
        found.append(listened_phrases(checklist))
        found += [(moment,) for moment in checklist.due]
    desk = context.session.commands.desk
    found += [desk.get(name, ()) for name in (*_DESK, "agreed")]
    for fact in context.flight.set_up.values():
        found += [fact.said_yes, fact.said_no]
    return tuple(group for group in found if group)


def drill_phrases(context: SectorContext) -> tuple[str, ...]:
    """Return the calls for drills, to listen for while another list is open."""
    found = lists_on_call(context)
    memory = any(item.memory for drill in found for item in drill.items)
    own = context.session.commands.desk.get("memory-items", ())[:1] if memory else ()
    return (*(phrase for drill in found for phrase in list_phrases(drill)[:1]), *own)


def first_phrase(checklist: Checklist) -> str:
    """Return the plainest way to call for a list."""
    return list_phrases(checklist)[0]


def given_in(context: SectorContext, utterance: Utterance) -> Given | None:
    """Return a typed quantity of the flight; spoken ones are read back in a list only."""
    if utterance.source is not ReplySource.KEYBOARD:
        return None
    flight, session = context.flight, context.session
    names = flight.quantities
    return find_given(utterance.text, names, flight, session.tables, session.commands.fillers)


def not_known(context: SectorContext, words: str) -> str:
    """Return what to say to typed words that are not a call."""
    known = {phrase: None for c in context.lists for phrase in list_phrases(c)}
    hint = did_you_mean(words.strip(), known)
    return " ".join(filter(None, (sentences.no_such_list(words.strip()), hint)))


def names_a_list(utterance: Utterance) -> str:
    """Return words that can only call for a list ("taxi checklist"), or an empty text.

    An uncertain utterance counts by its transcript, never by the recogniser's guess: such words
    start nothing and are only asked about.
    """
    words = utterance.text if utterance.sure else utterance.transcript
    said = plain_words(words)
    few = 2 <= len(said) <= MOST_WORDS
    return " ".join(said) if few and said[-1] == _CHECKLIST else ""


def similar_list(words: str, lists: Iterable[Checklist]) -> Checklist | None:
    """Return the list whose name is nearest to ``words``, if any is close."""
    own = {_bare_name(phrase): c for c in lists for phrase in list_phrases(c)}
    best = closest_choice(_bare_name(words), own)
    return own[best] if best else None


def _bare_name(words: str) -> str:
    said = plain_words(words)
    return " ".join(said[:-1] if said[-1:] == (_CHECKLIST,) else said)


def _called_list(said: str, context: SectorContext, progress: SectorProgress) -> Checklist | None:
    """Return the list called for; if two share the words, one not yet completed."""
    table = context.session.commands
    fitting = [
        c for c in context.lists if any(said == words_key(form, table) for form in list_phrases(c))
    ]
    undone = (c for c in fitting if not complete_now(context, progress, c.id))
    return next(undone, fitting[0] if fitting else None)


def words_key(words: str, table: CommandTable) -> str:
    """Return words in comparable form: "take-off", "take off" and "takeoff" are equal."""
    return "".join(_call_parts(words, table))


def _call_parts(words: str, table: CommandTable) -> Iterator[str]:
    yield from without_fillers(plain_words(words), table.fillers)


def find_other_list(state: SectorState, event: ev.Event) -> tuple[ListCall, Utterance] | None:
    """Return the call for another list in an utterance that answers nothing."""
    inner = state.inner.progress if state.inner else None
    if inner is None or inner.question not in (None, Question.FLOW):
        return None
    if not isinstance(event, ev.HeardReply | ev.TypedReply):
        return None
    utterance = (
        spoken_utterance(event.heard)
        if isinstance(event, ev.HeardReply)
        else typed_utterance(event.text)
    )
    call = find_call(utterance.text, state.context, state.progress) if utterance.sure else None
    if isinstance(call, MemoryCall) and (due := memory_list(state.context, state.progress)):
        call = ListCall(due)
    if not isinstance(call, ListCall) or call.checklist.id == inner.plan.list_id:
        return None
    words = utterance.text.casefold().strip()
    return None if words in _answers(inner) else (call, utterance)


def _answers(inner: Progress) -> set[str]:
    """Return what a list waits for, in lower case: the replies to its item, or its panels."""
    if inner.question:
        return {panel.panel.casefold() for panel in inner.plan.flow}
    return {a.text.casefold() for a in inner.item.expectation.accepted} if inner.item else set()
