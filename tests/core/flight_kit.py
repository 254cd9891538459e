"""A flight under test: a folder of lists as written, fed with words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from callout.app.shared.command_tables import default_commands
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Context
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.flight_run import flying
from callout.core.flight_run.due import in_flight_order
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.records import ListCalled, ListTakenUp, SectorRecord
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.heard import Heard
from tests.core.session_kit import offered

BEGAN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)

LISTS = (
    """
callout: 1
id: power-up
title: Power-up
phase: power-up
method: challenge-and-response
due: entering the cockpit
complete: power-up complete
items:
  - {id: battery, challenge: Battery, response: "on"}
  - {id: fire-test, challenge: Fire test, response: passed, once: day}
""",
    """
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
trigger: [before start checklist, ready to start]
follows: power-up
complete: before start checklist complete
items:
  - {id: data, challenge: Take-off data, response: compared, produces: v1}
  - {id: refuelling, challenge: Refuelling, response: complete, when: fuelling}
  - {id: beacon, challenge: Beacon, response: "on"}
""",
    """
callout: 1
id: taxi
title: Taxi
phase: taxi
method: challenge-and-response
due: [taxiing, brakes released]
follows: before-start
complete: taxi checklist complete
items:
  - {id: flaps, challenge: Flaps, response: "five"}
  - {id: speed, challenge: Decision speed, response: "{v1}", needs: v1}
""",
    """
callout: 1
id: anti-ice
title: Anti-ice
phase: taxi
method: challenge-and-response
when: icing
follows: before-start
complete: anti-ice checklist complete
items:
  - {id: wing, challenge: Wing anti-ice, response: "on"}
""",
    """
callout: 1
id: fire
title: Engine fire on the ground
phase: non-normal
method: read-and-do
trigger: engine fire drill
complete: drill complete
items:
  - {id: levers, challenge: Fuel levers, response: cutoff}
""",
)
FLIGHT = """
callout: 1
title: Practice flight
aircraft: Invented One
quantities:
  v1: {value: 117 kt, name: decision speed}
facts:
  icing: {is: "no", ask: "Are icing conditions expected?"}
  fuelling:
    is: "yes"
    ask: "Is fuelling in progress?"
    said_yes: fuelling in progress
    said_no: [fuelling complete, fuel truck gone]
"""


def written(text: str) -> Checklist:
    return checklist_from(parse_yaml(text, "list.yaml"), "list.yaml")


def flight(text: str = FLIGHT) -> Flight:
    return flight_from(parse_yaml(text, "flight.yaml"), "flight.yaml")


@dataclass
class FlightDesk:
    """A flight and everything it did."""

    data: Flight = field(default_factory=flight)
    done: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    received: str = ""
    first: str = ""
    pacing: Pacing = field(default_factory=lambda: Pacing(silence_s=0))
    state: SectorState = field(init=False)
    effects: list[e.Effect] = field(default_factory=list)
    last: list[e.Effect] = field(default_factory=list)
    now: float = 100.0
    count: int = 0

    def __post_init__(self) -> None:
        session = Context(default_commands(), default_tables(), self.pacing, offered, True, "test")
        lists = in_flight_order(tuple(map(written, LISTS)))
        self.state = SectorState(SectorContext(session, lists, self.data, 1, self.done))

    def stamp(self) -> ev.Stamp:
        self.count += 1
        return ev.Stamp(self.count, self.now, BEGAN + timedelta(seconds=self.now))

    def feed(self, event: ev.Event) -> FlightDesk:
        """Take one event and whatever is due at once after it; keep what it did."""
        self.last = []
        self._step(event)
        while flying.step_is_due(self.state):
            self._step(ev.Ticked(self.stamp()))
        while flying.moment_of(self.state).speaking and not self.over:
            self.now += 1.0
            token = flying.moment_of(self.state).token
            self._step(ev.SpeechFinished(self.stamp(), token, spoken=False))
        return self

    def _step(self, event: ev.Event) -> None:
        self.state, effects = flying.flight_step(self.state, event)
        records = [x.record for x in effects if isinstance(x, e.Record)]
        kinds = {isinstance(record, SectorRecord) for record in records}
        assert len(kinds) < 2, "one step wrote to two journals"
        self.last += effects
        self.effects += effects

    def start(self) -> FlightDesk:
        began = SectorStarted(self.stamp(), "f", "ab", "Practice flight", self.first, self.received)
        return self.feed(began)

    def type(self, *lines: str) -> FlightDesk:
        for words in lines:
            self.now += 2.0
            self.feed(ev.TypedReply(self.stamp(), flying.asked_id(self.state), words))
        return self

    def say(self, words: str, *, sure: bool = True) -> FlightDesk:
        self.now += 2.0
        heard = Heard(words, words, 0.97 if sure else 0.4, sure)
        return self.feed(ev.HeardReply(self.stamp(), flying.asked_id(self.state), heard, self.now))

    def key(self, name: str) -> FlightDesk:
        self.now += 2.0
        return self.feed(ev.KeyPressed(self.stamp(), name))

    @property
    def over(self) -> bool:
        return self.state.progress.ended or self.state.progress.suspended

    @property
    def spoken(self) -> str:
        """What the last thing fed led to being said."""
        return " ".join(x.text for x in self.last if isinstance(x, e.Say))

    @property
    def news(self) -> list[str]:
        return [line for x in self.last if isinstance(x, e.Show) for line in x.news]

    @property
    def asking(self) -> str:
        return flying.asked_id(self.state)

    def journals(self) -> tuple[list[JournalRecord], dict[str, list[JournalRecord]]]:
        """Return the flight's records and those of each of its lists."""
        own: list[JournalRecord] = []
        lists: dict[str, list[JournalRecord]] = {}
        session = ""
        for record in (x.record for x in self.effects if isinstance(x, e.Record)):
            if not isinstance(record, SectorRecord):
                lists.setdefault(session, []).append(record)
                continue
            own.append(record)
            if isinstance(record, ListCalled | ListTakenUp):
                session = record.session_id
        return own, lists

    def check(self) -> None:
        """What must hold at any moment."""
        own, lists = self.journals()
        if not self.state.progress.suspended:
            assert replay_sector(own) == self.state.progress
        for records in (own, *lists.values()):
            assert [record.seq for record in records] == list(range(1, len(records) + 1))
        run = self.state.progress.open_run
        if run and self.state.inner and run.session_id in lists:
            assert replay_list(lists[run.session_id]) == self.state.inner.progress
