"""What has changed since the list was last flown, and what to do tonight, in two sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from callout.core.debrief.facts import Facts, ItemFact, SessionFact
from callout.core.debrief.rates import Cause, cause_happened
from callout.core.sentences import debriefs as sentences

_MOST = 3


def last_time(facts: Facts, session: SessionFact) -> SessionFact | None:
    """Return the previous session in which the same person completed the same list."""
    before = [
        one
        for one in facts.sessions
        if one.began < session.began
        and (one.person, one.aircraft, one.list_id)
        == (session.person, session.aircraft, session.list_id)
        and not one.drill
    ]
    return before[-1] if before else None


def lead_lines(facts: Facts, session: SessionFact) -> Iterator[str]:
    """Yield what a pilot reads first; other people play no part in it."""
    now = _slips(facts.items, session)
    before = last_time(facts, session)
    if before is None:
        yield sentences.first_time(session.title, len(now))
    else:
        old = _slips(facts.items, before)
        yield sentences.since_last(
            f"{before.began:%Y-%m-%d}",
            _names(i for key, i in now.items() if key not in old),
            _names(i for key, i in now.items() if key in old),
            _names(i for key, i in old.items() if key not in now),
        )
    worst = sorted(now.values(), key=lambda i: (not i.critical, i.position))
    yield sentences.tonight(_names(worst[:1]), bool(worst and worst[0].critical))


def latest_words(facts: Facts) -> str:
    """Return how the last session went, in a sentence; "" if there are several people."""
    if len({session.person for session in facts.sessions}) != 1:
        return ""
    last = facts.sessions[-1]
    slips = _slips(facts.items, last)
    met = sum(i.session_id == last.session_id and i.met for i in facts.items)
    day = f"{last.began:%Y-%m-%d}"
    return sentences.last_session(day, last.title, len(slips), met, _names([*slips.values()]))


def _slips(items: Sequence[ItemFact], session: SessionFact) -> dict[str, ItemFact]:
    own = (i for i in items if i.session_id == session.session_id and i.met)
    return {i.item_id: i for i in own if cause_happened(i, Cause.ANY)}


def _names(items: Iterator[ItemFact] | Sequence[ItemFact]) -> str:
    names = [item.challenge for item in items]
    more = f" and {len(names) - _MOST} more" if len(names) > _MOST else ""
    return ", ".join(names[:_MOST]) + more
