"""Says each try in a room and keeps what the recognisers found: the evidence to fit on."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from functools import cache

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.acoustic.conditions import Condition, conditions
from callout.bench.lists import in_a_room, in_blocks
from callout.bench.longer.near_misses import Kind, Try
from callout.bench.synth import synthesise
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.second_opinion.asking import AskingRecogniser
from callout.hearing.second_opinion.longer import Believed, Doubted, LongerDecision
from callout.hearing.segmenter import Segmenter
from callout.hearing.turns import Turns, hear_all

VOICES = ("flite:rms", "flite:slt", "flite:awb", "flite:kal16")
SURROUNDINGS = {
    "clean": 3, "vehicle 10 dB": 6, "vehicle 5 dB": 4, "crowd 10 dB": 3, "echo": 2,
    "far, 3 m": 2, "quiet voice": 1,
}  # fmt: skip
"""Which conditions, and how often each."""
BYSTANDERS = (
    "the lake is calm and the boats are all at home tonight",
    "we walked for several hours before the rain began to fall",
    "my sister keeps seven chickens and an old grey horse",
    "he read the newspaper aloud while they cooked dinner",
)


@dataclass(frozen=True, slots=True)
class Doubt:
    """The evidence on an answer that two opinions put first."""

    evidence: tuple[float, ...]
    over_contrary: float
    heard_over_contrary: float
    heard_lead: float


@dataclass(frozen=True, slots=True)
class HeardTry:
    """One try and what became of it, without and before the decision on longer phrases."""

    item: str
    said: str
    kind: Kind
    right: bool
    voice: str
    surrounding: str
    taken: bool
    """True: accepted as a right reply."""
    doubt: Doubt | None
    """If it was not decided, and what leads is an answer of several words."""
    belief: tuple[float, tuple[float, ...]] | None
    """If the first was sure of one: the probability, and the evidence."""


@dataclass(frozen=True, slots=True)
class Watching(LongerDecision):
    """Decides nothing, and keeps what it is asked about."""

    doubted: list[tuple[Doubted, float]] = field(default_factory=list)
    believed: list[Believed] = field(default_factory=list)

    def confirms(self, doubted: Doubted, heard_lead: float) -> float | None:
        """Keep it."""
        self.doubted.append((doubted, heard_lead))
        return None

    def gainsays(self, believed: Believed) -> bool:
        """Keep it."""
        self.believed.append(believed)
        return False


def hear_tries(tried: Sequence[Try], workers: int, seed: int = 1) -> Iterator[HeardTry]:
    """Yield each try, said by one voice under one condition, as it was heard."""
    jobs = [(one, seed * 1_000_003 + number) for number, one in enumerate(tried)]
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(_hear, jobs, chunksize=4)


def _hear(job: tuple[Try, int]) -> HeardTry:
    one, seed = job
    chance = random.Random(seed)
    voice = chance.choice(VOICES)
    name = chance.choices(list(SURROUNDINGS), list(SURROUNDINGS.values()))[0]
    sound = in_a_room(synthesise(one.reply.said, voice))
    sound = _surroundings()[name].make(sound, seed)
    watching, turns = _turns()
    watching.doubted.clear()
    watching.believed.clear()
    wanted, tables, commands = one.reply.expectation, default_tables(), default_commands()
    turns.listen_for(
        candidates_for(wanted, commands.off_hold().groups(), tables, one.reply.item_id)
    )
    verdicts = [
        judge_heard(heard, wanted, tables, commands).verdict
        for heard in hear_all(in_blocks(sound), turns)
    ]
    decided = [v for v in verdicts if v is not Verdict.UNCLEAR]
    taken = bool(decided) and decided[0] is Verdict.MATCH
    item = f"{one.reply.file} {one.reply.item_id}"
    found = HeardTry(item, one.reply.said, one.kind, one.right, voice, name, taken, None, None)
    if taken and watching.believed:
        last = watching.believed[-1]
        return replace(found, belief=(last.chance, last.evidence()))
    doubts = [_doubt(*pair) for pair in watching.doubted if _is_answer(pair[0], one)]
    return replace(found, doubt=doubts[-1]) if doubts and not decided else found


def _is_answer(doubted: Doubted, one: Try) -> bool:
    judged = judge_reply(doubted.leader.text, one.reply.expectation, default_tables())
    return judged.verdict is Verdict.MATCH


def _doubt(doubted: Doubted, heard_lead: float) -> Doubt:
    return Doubt(doubted.evidence(), doubted.over_contrary, doubted.heard_over_contrary, heard_lead)


@cache
def _turns() -> tuple[Watching, Turns]:
    shipped = LongerDecision.shipped()
    watching = Watching(shipped.confirming, shipped.gainsaying, certain=1.0)
    asking = AskingRecogniser(EmbeddedRecogniser(), longer=watching)
    return watching, Turns(Segmenter(), asking)


@cache
def _surroundings() -> dict[str, Condition]:
    crowd = [synthesise(text, voice) for voice in VOICES for text in BYSTANDERS]
    return {one.name: one for one in conditions(crowd)}
