"""The sentences a session says and shows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

from callout.core.checklist_run.branch_paths import completion_call
from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.model.checklist import Role
from callout.core.model.commands import CommandTable
from callout.core.model.counting import counted_noun
from callout.core.model.utterance import ReplySource, Utterance
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import checklist as sentences

_AHEAD = 4
MOST_NAMED = 5
"""How many items are named aloud before "and so on"."""

_ROLES = {
    Role.PILOT_FLYING: "pilot flying",
    Role.PILOT_MONITORING: "pilot monitoring",
    Role.LEFT_SEAT: "left seat",
    Role.RIGHT_SEAT: "right seat",
    Role.BOTH: "both pilots",
    Role.EITHER: "",
}


def role_words(role: Role) -> str:
    """Return who answers, in words; empty when anyone may."""
    return _ROLES[role]


def challenge_words(item: PlannedItem) -> str:
    """Return the challenge as said."""
    return f"{item.spoken.rstrip(' .?!:')}?"


def coming_challenges(progress: Progress) -> tuple[str, ...]:
    """Return the challenges likely to be said next, nearest first."""
    due = (n for n in progress.due_items if n != progress.current)
    return tuple(challenge_words(progress.plan.items[n]) for n in islice(due, _AHEAD))


def join_names(names: Sequence[str]) -> str:
    """Return names as "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def heard_line(utterance: Utterance) -> str:
    """Return one line that says what was heard."""
    verb = {ReplySource.VOICE: "Heard", ReplySource.KEYBOARD: "Typed", ReplySource.KEY: "Key"}[
        utterance.source
    ]
    if not utterance.words:
        return sentences.no_words(verb)
    seat = f" from the {role_words(utterance.seat)}" if utterance.seat else ""
    return sentences.heard_words(
        verb, utterance.words, seat, "" if utterance.sure else ", not sure"
    )


def seat_words(utterance: Utterance | None) -> str:
    """Return the seat an utterance came from, in words; empty if unknown."""
    return role_words(utterance.seat) if utterance and utterance.seat else ""


def challenges_of(progress: Progress, indices: Sequence[int]) -> tuple[str, ...]:
    """Return the challenges of some items."""
    return tuple(progress.plan.items[n].challenge for n in indices)


def spoken_names(names: Sequence[str]) -> str:
    """Return names to say aloud, limited to the first few."""
    if len(names) <= MOST_NAMED:
        return join_names(names)
    return (
        f"{', '.join(names[:MOST_NAMED])}, and {counted_noun(len(names) - MOST_NAMED, 'more item')}"
    )


def what_is_left(progress: Progress) -> str:
    """Return what is still to do, to say aloud."""
    parked = progress.parked
    due = [n for n in progress.open_items if n not in parked]
    if not due and not parked:
        return sentences.NOTHING_LEFT
    parts = []
    if due:
        parts.append(
            sentences.items_left(
                counted_noun(len(due), "item"), spoken_names(challenges_of(progress, due))
            )
        )
    if parked:
        parts.append(sentences.deferred_items(spoken_names(challenges_of(progress, parked))))
    return " ".join(parts)


def left_lines(progress: Progress) -> tuple[str, ...]:
    """Return what is still to do, one line per item."""
    parked = progress.parked
    return tuple(
        f"{progress.plan.items[n].challenge}{' (deferred)' if n in parked else ''}"
        for n in progress.open_items
    )


def stopped_at(progress: Progress) -> str:
    """Return where the list stopped, after a hold or a break."""
    item = progress.item
    where = sentences.continuing_at(item.challenge) if item else sentences.CONTINUING_BETWEEN
    return f"{where} {last_completed(progress)}".strip()


def last_completed(progress: Progress) -> str:
    """Return the last completed item with its outcome, or an empty text."""
    done = [n for n in progress.trail if not progress.items[n].open]
    if not done:
        return sentences.NONE_COMPLETED
    item, state = progress.plan.items[done[-1]], progress.items[done[-1]]
    outcome = state.reply or f"skipped, {state.reason or 'no reason given'}"
    return sentences.last_completed(item.challenge, outcome)


def holding_at(progress: Progress) -> str:
    """Return the hold call."""
    item = progress.item
    return sentences.holding_at(item.challenge) if item else "Holding."


def completion_words(progress: Progress) -> str:
    """Return the completion call with what it leaves behind."""
    call = completion_call(progress).rstrip(" .")
    return f"{call[:1].upper()}{call[1:]}{remainder_words(progress)}."


def remainder_words(progress: Progress) -> str:
    """Return ", with ..." for items skipped or left open; empty if there are none."""
    skipped = challenges_of(progress, skipped_items(progress))
    left = challenges_of(progress, left_open(progress))
    parts = [f"{len(skipped)} skipped: {spoken_names(skipped)}"] if skipped else []
    parts += [f"{len(left)} left open: {spoken_names(left)}"] if left else []
    return f", with {' and '.join(parts)}" if parts else ""


def skipped_items(progress: Progress) -> tuple[int, ...]:
    """Return indices of skipped items."""
    return _with_outcome(progress, ItemOutcome.SKIPPED)


def left_open(progress: Progress) -> tuple[int, ...]:
    """Return indices of items left open."""
    return _with_outcome(progress, ItemOutcome.LEFT_OPEN)


def _with_outcome(progress: Progress, outcome: ItemOutcome) -> tuple[int, ...]:
    return tuple(n for n, item in enumerate(progress.items) if item.outcome is outcome)


def another_way(item: PlannedItem, example: str, run: int, *, numbered: bool) -> str:
    """Return how to do better after ``run`` unclear replies; example: an acceptable reply, if it
    may be revealed.
    """
    typed = "or type its number" if numbered else "or type it"
    if example:
        how = sentences.try_saying(example, typed)
    elif item.wants_value:
        how = sentences.SAY_DIGITS
    else:
        how = sentences.say_item_and_state(item.challenge.lower(), typed)
    way_out = sentences.WAYS_OUT if run > 2 else ""
    return sentences.still_not_understood(how, way_out)


def missing_now(progress: Progress, item: PlannedItem) -> tuple[str, ...]:
    """Return what must be known before ``item`` can be answered, with the sources."""
    pairs = zip(progress.plan.items, progress.items, strict=True)
    settled = {p.id: p.done or s.outcome is ItemOutcome.ANSWERED for p, s in pairs}
    waiting = tuple(
        f"{wait.quantity} (from {wait.challenge})"
        for wait in item.waits
        if not settled.get(wait.item_id, True)
    )
    return (*item.missing, *waiting)


def not_known(missing: Sequence[str]) -> str:
    """Return what must be known first; empty when all is."""
    if not missing:
        return ""
    return sentences.not_known_yet(join_names(missing))


def why_dropped(item: PlannedItem) -> str:
    """Return why an item is not asked."""
    if item.done:
        return sentences.done_earlier(item.challenge, item.done)
    return sentences.not_applicable_because(item.challenge, item.why_not)


def help_lines(table: CommandTable) -> tuple[str, ...]:
    """Return one line per command: what to say, its key, what it does."""
    return tuple(
        f"{entry.phrases[0]:<19}{' '.join(key_name(k) for k in entry.keys):<10}{entry.about}"
        for entry in table.entries
    )


def help_spoken(table: CommandTable) -> str:
    """Return the commands, to say aloud."""
    return sentences.you_can_say(join_names([entry.phrases[0] for entry in table.entries]))


def key_name(key: str) -> str:
    """Return a key's name as printed on a keyboard."""
    names = {"escape": "Esc", "space": "Space", "tab": "Tab", "left": "Left", "enter": "Enter"}
    return names.get(key, key.upper() if len(key) > 1 else key)
