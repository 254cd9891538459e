"""The pure functions of one kind of conversation, for the runner."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from callout.core.checklist_run.arming import target_of
from callout.core.checklist_run.session import list_deadline, list_step
from callout.core.checklist_run.state import SessionState
from callout.core.checklist_run.summary import summarise_list
from callout.core.checklist_run.wording import coming_challenges
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.moment import Moment

S = TypeVar("S")


@dataclass(frozen=True, slots=True)
class Machine(Generic[S]):
    """The pure functions of one kind of session."""

    step: Callable[[S, ev.Event], tuple[S, tuple[e.Effect, ...]]]
    deadline: Callable[[S], float | None]
    """Session time at which a Ticked event is due."""
    target: Callable[[S], str]
    """Id of the current question."""
    moment: Callable[[S], Moment]
    summary: Callable[[S], Any]
    eager: Callable[[S], bool] = lambda state: False
    """True while a Ticked event is due before anything else."""
    coming: Callable[[S], tuple[str, ...]] = lambda state: ()
    """Texts that will probably be said next, so that they can be prepared."""


LIST: Machine[SessionState] = Machine(
    step=list_step,
    deadline=list_deadline,
    target=lambda state: target_of(state.progress),
    moment=lambda state: state.moment,
    summary=lambda state: summarise_list(state.progress),
    coming=lambda state: coming_challenges(state.progress),
)
"""One list."""
