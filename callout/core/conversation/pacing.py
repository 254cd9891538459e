"""How fast a session goes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from callout.core.conversation.withholding import Reveal
from callout.core.model.checklist import Role

PACES = (0.6, 0.8, 1.0, 1.2, 1.4, 1.7)
"""Speeds that "slower" and "faster" step through; 1.0 is the voice's own."""


class CompletionBy(Enum):
    """Who gives the completion call."""

    TOOL = "tool"
    PERSON = "person"


class Challenger(Enum):
    """Who reads the challenges."""

    TOOL = "tool"
    PERSON = "person"
    """One of two people; the tool listens and checks challenge and reply."""


class MemoryMode(Enum):
    """How memory items are done."""

    RECALL = "recall"
    """They are recited first, without a challenge, and timed."""
    READ = "read"
    """They are read like other items."""


class FlowMode(Enum):
    """How a flow is guided."""

    SILENT = "silent"
    """Only timed."""
    PROMPT = "prompt"
    """Each panel is named, with everything there that is not at its rest position."""
    QUIZ = "quiz"
    """The person names the panel that comes next."""
    READ = "read"
    """Every control is read, with its position and why."""
    RECALL = "recall"
    """The person says each control and its position."""
    CLOCK = "clock"
    """Timed against the person's own best."""
    NEXT = "next"
    """The stage that is due for this flow, according to the journals."""


STAGES = (FlowMode.READ, FlowMode.PROMPT, FlowMode.RECALL, FlowMode.CLOCK)
"""Stages in which a flow is learnt, in order."""


@dataclass(frozen=True, slots=True)
class Pacing:
    """Times in seconds and habits of one session."""

    glance_s: float = 1.0
    """A reply that begins sooner after the challenge is accepted but marked. Planning one word
    takes about 0.6 s, so a look at a control needs more (0: mark nothing).
    """
    slow_s: float = 10.0
    """A reply that begins later is marked as slow."""
    silence_s: float = 8.0
    """Silence after a challenge before it is repeated once (0: never)."""
    tail_s: float = 0.25
    """Pause after the tool's own voice before it listens."""
    barge_in: bool = False
    """True with a headset: listen while the tool speaks."""
    completion_by: CompletionBy = CompletionBy.TOOL
    flow: FlowMode = FlowMode.SILENT
    memory: MemoryMode = MemoryMode.RECALL
    challenger: Challenger = Challenger.TOOL
    tones: bool = False
    reveal: Reveal | None = None
    """When to reveal the right reply; None: at once in a list, after the second miss in a drill."""
    flying: Role = Role.LEFT_SEAT
    """Seat of the pilot flying."""


def seat_of(role: Role, flying: Role) -> Role:
    """Return the seat of a role, given the seat of the pilot flying; other roles are unchanged."""
    other = Role.RIGHT_SEAT if flying is Role.LEFT_SEAT else Role.LEFT_SEAT
    return {Role.PILOT_FLYING: flying, Role.PILOT_MONITORING: other}.get(role, role)


def slower_pace(pace: float) -> float:
    """Return the next slower pace, or the slowest."""
    return max((p for p in PACES if p < pace), default=PACES[0])


def faster_pace(pace: float) -> float:
    """Return the next faster pace, or the fastest."""
    return min((p for p in PACES if p > pace), default=PACES[-1])
