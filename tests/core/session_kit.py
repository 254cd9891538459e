"""A session under test: feeds events, keeps effects, and checks what must always hold."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.arming import target_of
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.session import list_deadline, list_step
from callout.core.checklist_run.state import Context, SessionState
from callout.core.checklist_run.viewing import view_of
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.view_model import Row
from callout.core.language.tables import Tables
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.checklist import Method, Role
from callout.core.model.expectation import Answer, Expectation, Value, ValueKind, WrongReply, phrase
from callout.core.model.heard import Heard
from callout.core.planning.plan import Plan, PlannedItem, PlannedPanel

BEGAN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)


def item(item_id: str, challenge: str, *accepted: str, **facts: object) -> PlannedItem:
    """Return an item; ``wrong`` names replies that are wrong, other facts go through."""
    wrong = tuple(WrongReply(phrase(text)) for text in facts.pop("wrong", ()))  # type: ignore[attr-defined]
    expected = Expectation(
        accepted=tuple(phrase(text) for text in accepted), wrong=wrong, challenge=challenge
    )
    expected = facts.pop("expectation", expected)  # type: ignore[assignment]
    return PlannedItem(item_id, challenge, challenge, expected, **facts)  # type: ignore[arg-type]


def pressure(hectopascal: int) -> Expectation:
    """Return what an altimeter item expects."""
    value = Value(Decimal(hectopascal), unit="hPa", kind=ValueKind.PRESSURE, name="QNH")
    answer = Answer((value,), str(hectopascal))
    return Expectation(accepted=(answer,), challenge="Altimeter")


def plan(**facts: object) -> Plan:
    """Return a list of five items of an invented aircraft, one of them not applicable."""
    items = (
        item("beacon", "Beacon", "on", wrong=("off",)),
        item("pump", "Fuel pump", "on", critical=True, cautions=("Not above 5 minutes.",)),
        item("altimeter", "Altimeter", expectation=pressure(1013)),
        item("anti-ice", "Anti-ice", "on", applicable=False, why_not="icing"),
        item("doors", "Doors", "closed and locked"),
    )
    default = {"items": items, "completion_call": "Before start checklist complete"}
    return Plan("before-start", "Before start checklist", **{**default, **facts})  # type: ignore[arg-type]


def two_seats() -> Plan:
    """Return a list that two people answer."""
    return plan(
        items=(
            item("flaps", "Flaps", "five", role=Role.PILOT_FLYING),
            item("belts", "Belts", "fastened", role=Role.BOTH, replies=2),
        )
    )


def flow_list() -> Plan:
    """Return a list that verifies a flow."""
    panels = (PlannedPanel("Overhead", ("Beacon: on",)), PlannedPanel("Pedestal"))
    return plan(method=Method.FLOW_THEN_VERIFY, flow=panels)


def offered(
    expected: Expectation, commands: tuple[tuple[str, ...], ...], tables: Tables, item_id: str
) -> CandidateSet:
    """Return the plainest candidate set: what is accepted, what is wrong, and the commands."""
    found = [Candidate(a.text, CandidateRole.ACCEPTED, (a.text,)) for a in expected.accepted]
    found += [Candidate(w.answer.text, CandidateRole.WRONG, ()) for w in expected.wrong]
    found += [Candidate(group[0], CandidateRole.COMMAND, group) for group in commands]
    return CandidateSet(item_id, tuple(found))


@dataclass
class Desk:
    """A session and everything it did."""

    plan: Plan = field(default_factory=plan)
    pacing: Pacing = field(default_factory=Pacing)
    hears: bool = True
    state: SessionState = field(init=False)
    effects: list[e.Effect] = field(default_factory=list)
    """All effects so far."""
    last: tuple[e.Effect, ...] = ()
    """Effects of the last step."""
    now: float = 100.0
    count: int = 0

    def __post_init__(self) -> None:
        context = Context(
            default_commands(), default_tables(), self.pacing, offered, self.hears, "test"
        )
        self.state = SessionState(context)

    def stamp(self) -> ev.Stamp:
        self.count += 1
        return ev.Stamp(self.count, self.now, BEGAN + timedelta(seconds=self.now))

    def feed(self, event: ev.Event) -> Desk:
        self.state, self.last = list_step(self.state, event)
        self.effects += self.last
        return self

    def start(self) -> Desk:
        return self.feed(ev.Started(self.stamp(), "s1", self.plan)).quiet_voice()

    def quiet_voice(self) -> Desk:
        """Let the voice finish, and the rest after it pass."""
        if self.state.progress.ending or self.state.progress.suspended:
            return self
        if self.state.moment.speaking:
            self.now += 1.0
            self.feed(ev.SpeechFinished(self.stamp(), self.state.moment.token))
        if self.state.moment.listen_due is not None:
            self.now = self.state.moment.listen_due
            self.feed(ev.Ticked(self.stamp()))
        return self

    def say(self, words: str, *, sure: bool = True, after: float = 2.0, **facts: object) -> Desk:
        """Have ``words`` heard, ``after`` seconds from now."""
        self.now += after
        heard = Heard(words, words, 0.97 if sure else 0.4, sure)
        target = str(facts.pop("target", target_of(self.state.progress)))
        event = ev.HeardReply(self.stamp(), target, heard, self.now, **facts)  # type: ignore[arg-type]
        return self.feed(event).settled()

    def type(self, words: str, after: float = 2.0) -> Desk:
        self.now += after
        target = target_of(self.state.progress)
        return self.feed(ev.TypedReply(self.stamp(), target, words)).settled()

    def key(self, name: str) -> Desk:
        self.now += 2.0
        return self.feed(ev.KeyPressed(self.stamp(), name)).settled()

    def wait(self) -> Desk:
        """Let time pass until the session itself does something."""
        due = list_deadline(self.state)
        assert due is not None
        self.now = due
        return self.feed(ev.Ticked(self.stamp())).settled()

    def settled(self) -> Desk:
        last = self.last
        self.quiet_voice()
        self.last = last
        return self

    @property
    def spoken(self) -> str:
        """What the last step said."""
        return " ".join(x.text for x in self.last if isinstance(x, e.Say))

    @property
    def records(self) -> list[JournalRecord]:
        return [x.record for x in self.effects if isinstance(x, e.Record)]

    @property
    def asking(self) -> str:
        return target_of(self.state.progress)

    def views(self) -> tuple[Row, ...]:
        """Return the rows on the screen."""
        return view_of(self.state).rows

    def outcomes(self) -> dict[str, str]:
        pairs = zip(self.state.progress.plan.items, self.state.progress.items, strict=True)
        return {p.id: i.outcome.value if i.outcome else "open" for p, i in pairs}

    def check(self) -> None:
        """What must hold at any moment."""
        assert replay_list(self.records) == self.state.progress
        assert [record.seq for record in self.records] == list(range(1, len(self.records) + 1))
