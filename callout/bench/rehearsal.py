"""One invented session through the real session core: what a person does, and what it leaves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cache

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.arming import target_of
from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.session import list_deadline, list_step
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.model.commands import Command
from callout.core.model.expectation import Expectation
from callout.core.model.heard import Heard
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan, PlannedItem

ENGINE = "made-up"
_LIKELY_WRONG = ("off", "on", "closed", "open", "up", "down", "unlocked", "checked", "seven")
_ANSWERS = {
    Question.FLOW: "done",
    Question.STOP: "yes",
    Question.OPEN_ITEMS: "take them now",
    Question.SKIP_REASON: "not required",
    Question.FACT: "no",
}
_WORDS_A_SECOND = 3.0


@dataclass(frozen=True, slots=True)
class Act:
    """What a person does when an item is put to them."""

    words: str
    after: float
    """Seconds from the end of the challenge to the start of the words."""
    sure: bool = True


Behave = Callable[[PlannedItem, int], list[Act]]
"""An item and how many replies to it there were before, to what is said; held or interrupted
between two acts is up to the caller."""


@dataclass(slots=True)
class Rehearsal:
    """A session under way, with a clock of its own."""

    plan: Plan
    session_id: str
    began: datetime
    about: Mapping[str, str]
    state: SessionState = field(init=False)
    records: list[JournalRecord] = field(default_factory=list)
    now: float = 0.0
    asleep: float = 0.0
    """Seconds between a break and the resume: on the wall clock only."""
    _count: int = 0

    def __post_init__(self) -> None:
        pacing = Pacing(tail_s=0.0)
        self.state = SessionState(
            Context(default_commands(), default_tables(), pacing, hears=False)
        )

    def run(self, behave: Behave, *, stop: bool = False) -> list[JournalRecord]:
        """Work the list to its end and return the records; ``stop``: end it after two items."""
        self._feed(ev.Started(self._stamp(), self.session_id, self.plan, dict(self.about)))
        tries: dict[str, int] = {}
        while target := target_of(self.state.progress):
            item = self.state.progress.item
            if self.state.progress.question or item is None:
                self._say(target, Act(_ANSWERS.get(self.state.progress.question, "continue"), 1.2))  # type: ignore[arg-type]
                continue
            if stop and self.state.progress.position == 2:
                self._say(target, Act(phrase_of(Command.STOP), 1.5))
                continue
            for act in behave(item, tries.get(item.id, 0)):
                self._say(target_of(self.state.progress), act)
            tries[item.id] = tries.get(item.id, 0) + 1
        return self.records

    def hold(self, seconds: float) -> None:
        """Hold the list here for a while, then go on."""
        self._say(target_of(self.state.progress), Act(phrase_of(Command.HOLD), 1.0))
        self.now += seconds
        self._say(target_of(self.state.progress), Act(phrase_of(Command.CONTINUE), 0.5))

    def break_off(self, asleep: float) -> None:
        """End the program here and resume after ``asleep`` seconds."""
        self._feed(ev.Interrupted(self._stamp(), "keyboard"))
        self.asleep += asleep
        self.state = SessionState(self.state.context, self.state.progress)
        self._feed(ev.ResumeAsked(self._stamp()))

    def leave(self) -> None:
        """End the program here for good."""
        self._feed(ev.Interrupted(self._stamp(), "terminated"))

    def _say(self, target: str, act: Act) -> None:
        due = list_deadline(self.state)
        if due is not None and due < self.now + act.after:
            self.now = due
            rest = Act(act.words, max(0.0, act.after), act.sure)
            self._feed(ev.Ticked(self._stamp()))
            self._finish_speaking()
            act = rest
        began = self.now + act.after
        self.now = began + len(act.words.split()) / _WORDS_A_SECOND
        heard = Heard(act.words, act.words, 0.95 if act.sure else 0.4, act.sure, engine=ENGINE)
        self._feed(ev.HeardReply(self._stamp(), target, heard, began))

    def _feed(self, event: ev.Event) -> None:
        self.state, effects = list_step(self.state, event)
        self.records += [x.record for x in effects if isinstance(x, e.Record)]
        self._finish_speaking(effects)

    def _finish_speaking(self, effects: tuple[e.Effect, ...] = ()) -> None:
        said = [x for x in effects if isinstance(x, e.Say)]
        if said and self.state.moment.speaking:
            self.now += len(said[-1].text.split()) / _WORDS_A_SECOND
            self._feed(ev.SpeechFinished(self._stamp(), self.state.moment.token))

    def _stamp(self) -> ev.Stamp:
        self._count += 1
        utc = self.began + timedelta(seconds=self.now + self.asleep)
        return ev.Stamp(self._count, self.now, utc)


@cache
def phrase_of(command: Command) -> str:
    """Return the first way to give a command."""
    return next(c.phrases[0] for c in default_commands().entries if c.command is command)


def right_words(expected: Expectation) -> str:
    """Return the most usual way to say the first accepted reply."""
    return spoken_forms(expected.accepted[0], default_tables())[0]


def wrong_words(expected: Expectation) -> str:
    """Return a reply that the judge names as wrong: one the list names, or a likely one."""
    tables = default_tables()
    named = (spoken_forms(w.answer, tables)[0] for w in expected.wrong)
    for words in (*named, *_LIKELY_WRONG, f"{right_words(expected)} not set"):
        if judge_reply(words, expected, tables).verdict is Verdict.MISMATCH:
            return words
    raise ValueError(f"no wrong reply is known at {expected.challenge}")
